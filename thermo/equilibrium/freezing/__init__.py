"""From the liquidus to the last drop: liquidus, path, solidus, activities, cryolite baths."""
