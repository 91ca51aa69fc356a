"""Order of work: what a job asks for, as steps, constraints and a goal; why each step is there."""
