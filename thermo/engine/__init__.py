"""Work spread over processes or a cluster: the same answer whatever the number of workers."""
