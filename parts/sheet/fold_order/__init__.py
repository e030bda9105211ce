"""In which order the bends of a sheet can be made between punch and die."""
