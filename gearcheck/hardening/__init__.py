"""Case depth: needed, specified, left."""
