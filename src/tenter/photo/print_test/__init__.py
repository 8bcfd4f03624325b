"""The sheet by which a printer is corrected."""
