"""Practice: a job played live on the real models, marked, talked through. A drill is not a sign-off."""
