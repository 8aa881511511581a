# PROJ reads its data base out of the program, and never looks for one, or for grids, in the working
# folder or anywhere else: the same coordinates on every machine.
set(USE_ONLY_EMBEDDED_RESOURCE_FILES ON CACHE BOOL "" FORCE)
