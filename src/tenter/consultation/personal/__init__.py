"""The personal palette: colours to wear for one client, chosen by what is known of them, beyond the cloths of a kit."""
