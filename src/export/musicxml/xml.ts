import { inMarkup } from '../markup.js';

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
  const head = `${indent}<${name}${pairs.map(([key, value]) => ` ${key}="${inMarkup(String(value))}"`).join('')}`;
  if (children.length === 0) return `${head}/>\n`;
  if (children.every((child) => typeof child === 'string')) return `${head}>${inMarkup(children.join(''))}</${name}>\n`;
  const inner = children.map((child) => (typeof child === 'string' ? inMarkup(child) : written(child, `${indent} `)));
  return `${head}>\n${inner.join('')}${indent}</${name}>\n`;
}
