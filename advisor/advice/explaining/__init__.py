"""Why: reasons, views of plans and methods, facts as used, the sentences of the verdict."""
