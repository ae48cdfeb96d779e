"""One case being worked on: answers, history, autosave, advice in the background. Knows no Qt."""
