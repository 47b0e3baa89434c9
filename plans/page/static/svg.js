// Elements of SVG, which documents make otherwise than those of HTML.
const SPACE = "http://www.w3.org/2000/svg";

/** Make an element, with attributes and words, as the last of another one if that is given. */
export function drawn(name, attributes = {}, into = null, words = "") {
  const made = document.createElementNS(SPACE, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  if (words) made.textContent = words;
  into?.append(made);
  return made;
}
