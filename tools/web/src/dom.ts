// Elements without innerHTML: whatever a file says can only become text.

type Value = string | number | boolean | null | undefined;
export type Attributes = Record<string, Value>;
export type Child = Node | string | null;

function fill<E extends Element>(element: E, attributes: Attributes, children: Child[]): E {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    element.setAttribute(name, value === true ? '' : String(value));
  }
  for (const child of children) if (child !== null) element.append(child);
  return element;
}

export function html<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  attributes: Attributes = {},
  ...children: Child[]
): HTMLElementTagNameMap[K] {
  return fill(document.createElement(tag), attributes, children);
}

export function svg<K extends keyof SVGElementTagNameMap>(
  tag: K,
  attributes: Attributes = {},
  ...children: Child[]
): SVGElementTagNameMap[K] {
  return fill(document.createElementNS('http://www.w3.org/2000/svg', tag), attributes, children);
}

export function list(sentences: string[], kind: 'ul' | 'ol' = 'ul'): HTMLElement {
  return html(kind, {}, ...sentences.map((sentence) => html('li', {}, sentence)));
}

let last_id = 0;
export function new_id(what: string): string {
  last_id += 1;
  return `${what}-${last_id}`;
}
