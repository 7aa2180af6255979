import type PDFDocument from 'pdfkit';
import type { StructureElement } from 'pdfkit';
import type { Mark } from '../../export/chart/marks.js';
import type { ReadPart } from '../../export/chart/reading-order.js';

/** Marks what is drawn as parts of the structure, or as an artifact where it is in none. */
export interface PageTags {
  /** To be called before a mark is drawn. */
  begin(mark: Mark): void;
  endPage(): void;
}

/** Writes the reading order into a document as its structure. */
export function pageTags(document: PDFDocument, order: ReadPart): PageTags {
  const owners = new Map<Mark, Owner>();
  const elementOf = (part: ReadPart): StructureElement => {
    const { type, actual, alt } = part;
    const element = document.struct(type, { ...(actual ? { actual } : {}), ...(alt ? { alt } : {}) });
    for (const mark of part.marks) owners.set(mark, { type, element });
    for (const each of part.parts) element.add(elementOf(each));
    return element;
  };
  document.addStructure(elementOf(order));
  let open: Owner | 'artifact' | undefined;
  const close = (): void => {
    if (open) document.endMarkedContent();
    open = undefined;
  };
  return {
    begin: (mark) => {
      const owner = owners.get(mark) ?? 'artifact';
      if (owner === open) return;
      close();
      open = owner;
      if (owner === 'artifact') document.markContent('Artifact');
      else owner.element.add(document.markStructureContent(owner.type));
    },
    endPage: close,
  };
}

interface Owner {
  readonly type: string;
  readonly element: StructureElement;
}
