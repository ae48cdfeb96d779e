"""The main window: stages, menus, keys, and where everything lies."""
