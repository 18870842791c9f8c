// Drawing in SVG, for every component: joined before its own file.

const SVG = "http://www.w3.org/2000/svg";

function make(parent, name, attributes = {}, text = null) {
  const node = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  if (text !== null) node.textContent = text;
  parent.appendChild(node);
  return node;
}
