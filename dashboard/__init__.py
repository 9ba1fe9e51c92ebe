"""The pages that show what a build found. They read named queries and compute nothing."""
