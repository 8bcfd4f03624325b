// What scripts say: sentences that the page's template has written, in the language of the page. Each stands in an
// attribute of its own, and what is in braces in it is filled in here.
export function said(name, values = {}) {
  const place = `data-said-${name}`;
  const sentence = document.querySelector(`[${place}]`)?.getAttribute(place) ?? "";
  return sentence.replace(/\{(\w+)\}/g, (whole, key) => values[key] ?? whole);
}
