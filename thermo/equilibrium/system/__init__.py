"""All laws of one set of salts put together: one anion, two anions, their solids and driving forces."""
