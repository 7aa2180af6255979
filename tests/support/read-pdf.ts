import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';

/** An element of a PDF's structure tree: its role, what it says in place of its content, and its text in order. */
export interface Tag {
  readonly role: string;
  readonly alt?: string;
  readonly text: string;
  readonly children: readonly Tag[];
}

/** What a PDF says, read by pdf.js: its title, its language, and for each page its text and its structure. */
export interface ReadPdf {
  readonly title: string;
  readonly language: string | null;
  readonly marked: boolean;
  readonly pages: readonly { readonly text: string; readonly tree: Tag | undefined }[];
}

interface Node {
  readonly role?: string;
  readonly alt?: string;
  readonly type?: string;
  readonly id?: string;
  readonly children?: readonly Node[];
}

/** Reads a PDF. Rejects when pdf.js cannot. */
export async function readPdf(bytes: Uint8Array): Promise<ReadPdf> {
  const loading = getDocument({ data: new Uint8Array(bytes), useSystemFonts: false, verbosity: 0 });
  try {
    const document = await loading.promise;
    const { info, metadata: _ } = await document.getMetadata();
    const about = info as { Title?: string; Language?: string | null };
    const marked = (await document.getMarkInfo())?.Marked === true;
    const pages = [];
    for (let number = 1; number <= document.numPages; number++) {
      const page = await document.getPage(number);
      const content = await page.getTextContent({ includeMarkedContent: true, disableNormalization: true });
      const texts = new Map<string, string>();
      const open: (string | undefined)[] = [];
      let all = '';
      for (const item of content.items) {
        if ('str' in item) {
          all += item.str + (item.hasEOL ? '\n' : '');
          const id = open.filter((each) => each !== undefined).at(-1);
          if (id !== undefined) texts.set(id, (texts.get(id) ?? '') + item.str);
        } else if (item.type === 'endMarkedContent') open.pop();
        else open.push((item as { id?: string | null }).id ?? undefined);
      }
      const tree = (await page.getStructTree()) as Node | null;
      pages.push({ text: all, tree: tree ? tagOf(tree, texts) : undefined });
    }
    return { title: about.Title ?? '', language: about.Language ?? null, marked, pages };
  } finally {
    await loading.destroy();
  }
}

function tagOf({ role = '', alt, children = [] }: Node, texts: ReadonlyMap<string, string>): Tag {
  const text = children.map(({ type, id }) => (type === 'content' && id ? (texts.get(id) ?? '') : '')).join('');
  const inside = children.filter(({ role: own }) => own !== undefined).map((child) => tagOf(child, texts));
  return { role, ...(alt === undefined ? {} : { alt }), text, children: inside };
}
