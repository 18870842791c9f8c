"""The balance of all phases at one temperature: candidates, conserved components, minimisation."""
