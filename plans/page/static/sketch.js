// A layout that is searched for: outlines on the lay and where the cloth is folded, no more.
import { drawn } from "./svg.js";

/** A section as a drawing; `words` says what it shows. */
export function sketch({ length, width, pieces, folds }, words) {
  const edge = 0.02 * Math.max(length, width);
  const svg = drawn("svg", {
    class: "drawn picture lying", role: "img", "aria-label": words,
    viewBox: `${-edge} ${-edge} ${length + 2 * edge} ${width + 2 * edge}`,
  });
  drawn("path", { class: "cloth", d: `M0,0H${length}V${width}H0Z` }, svg);
  for (const [name, path] of pieces) {
    const piece = drawn("path", { class: "piece", d: path }, svg);
    drawn("title", {}, piece, name);
  }
  for (const [along, at] of folds) {
    drawn("path", { class: "fold", d: along ? `M0,${at}H${length}` : `M${at},0V${width}` }, svg);
  }
  return svg;
}
