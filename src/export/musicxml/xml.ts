/** An element of an XML document. */
export interface Xml {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string | number | undefined>>;
  readonly children: readonly (Xml | string)[];
}

type Child = Xml | string | number | undefined | false | readonly Child[];

/** An element; attributes and children that are undefined or false are left out, lists of children are opened up. */
export function element(name: string, attributes: Xml['attributes'] = {}, ...children: readonly Child[]): Xml {
  return { name, attributes, children: children.flatMap(opened) };
}

/** An element without attributes. */
export function plain(name: string, ...children: readonly Child[]): Xml {
  return element(name, {}, ...children);
}

function opened(child: Child): readonly (Xml | string)[] {
  if (child === undefined || child === false) return [];
  if (typeof child === 'number') return [String(child)];
  if (typeof child === 'string') return [child];
  return 'name' in child ? [child] : child.flatMap(opened);
}

/** The document, in lines set in by depth; texts are escaped, whatever is in them. */
export function xmlText(root: Xml): string {
  return `<?xml version="1.0" encoding="UTF-8"?>\n${written(root, '')}`;
}

function written({ name, attributes, children }: Xml, indent: string): string {
  const pairs = Object.entries(attributes).filter(([, value]) => value !== undefined);
  const head = `${indent}<${name}${pairs.map(([key, value]) => ` ${key}="${escaped(String(value))}"`).join('')}`;
  if (children.length === 0) return `${head}/>\n`;
  if (children.every((child) => typeof child === 'string')) return `${head}>${escaped(children.join(''))}</${name}>\n`;
  const inner = children.map((child) => (typeof child === 'string' ? escaped(child) : written(child, `${indent} `)));
  return `${head}>\n${inner.join('')}${indent}</${name}>\n`;
}

const SIGNS: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' };
/** Characters that XML 1.0 does not know (section 2.2), halves of surrogate pairs among them. */
const FORBIDDEN =
  /[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]|[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g;

function escaped(text: string): string {
  return text.replace(FORBIDDEN, '\ufffd').replace(/[&<>"]/g, (sign) => SIGNS[sign] as string);
}
