"""From an enquiry to advice: screening, figures, ranking, questions, explanations. Prints nothing."""
