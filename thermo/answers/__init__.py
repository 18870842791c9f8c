"""One practitioner question a module, one frozen record each."""
