"""The draggable diagram: the browser's side in JavaScript, the page's side in Python."""
