import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import ts from 'typescript';

/** A text of a source file that is not handed to msg(). */
export interface PlainText {
  readonly file: string;
  readonly line: number;
  readonly text: string;
}

/** Two words, or one that begins like a sentence: nearly always something a person reads. */
const READABLE = /\p{L}{2,}[,:;]? \p{L}+|^\p{Lu}\p{Ll}+(?![\p{L}\d])/u;
/** The same in every language. */
const OWN_NAME = 'Barwright';
const LETTERS = /\p{L}{2,}/u;

/** Attributes that are read out or shown. */
const SHOWN =
  /\b(?:aria-label|aria-description|aria-valuetext|aria-roledescription|title|placeholder|alt|label)\s*=\s*"([^"]*)"/g;

/** Tags of templates that hold no texts. */
const NO_TEXTS = ['css', 'svg', 'unsafeCSS'];

/** Calls and classes whose words are for those who write the program. */
const FOR_DEVELOPERS = [
  'ChartProblem',
  'querySelector',
  'querySelectorAll',
  'closest',
  'matches',
  'mark',
  'MediaController',
];

/** How an error begins that only those who write the program can cause: with the name of what they called. */
const CALLED = /^[\w.-]+: /;

/** The texts of `folder` (with all below it) that were not marked as such. */
export function plainTexts(folder: string): PlainText[] {
  const files = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((name) => name.endsWith('.ts'));
  return files.sort().flatMap((name) => textsOf(join(folder, name)));
}

function textsOf(file: string): PlainText[] {
  const source = ts.createSourceFile(file, readFileSync(file, 'utf8'), ts.ScriptTarget.Latest, true);
  const found: PlainText[] = [];
  const note = (node: ts.Node, text: string): void => {
    found.push({
      file: file.replaceAll('\\', '/'),
      line: source.getLineAndCharacterOfPosition(node.getStart()).line + 1,
      text: text.replace(/\s+/g, ' ').trim(),
    });
  };
  const visit = (node: ts.Node): void => {
    if (ts.isImportDeclaration(node) || ts.isTypeNode(node) || ts.isDecorator(node)) return;
    if (isName(node)) return;
    // The module of a language would need Lit, which no worker can load.
    if (isMarkupMessage(node)) note(node, `markup in msg(): ${plain(node.arguments[0].template)}`);
    if (ts.isCallExpression(node) && ['msg', ...FOR_DEVELOPERS].includes(nameOf(node.expression))) return;
    if (ts.isNewExpression(node) && (FOR_DEVELOPERS.includes(nameOf(node.expression)) || isFault(node))) return;
    if (ts.isTaggedTemplateExpression(node)) {
      const tag = nameOf(node.tag);
      if (tag === 'html') {
        const shown = shownOf(plain(node.template));
        if (LETTERS.test(shown.replaceAll(OWN_NAME, ''))) note(node, shown);
      }
      if (!NO_TEXTS.includes(tag) && tag !== 'html' && READABLE.test(plain(node.template)))
        note(node, plain(node.template));
      if (ts.isTemplateExpression(node.template)) for (const part of shownParts(node.template)) visit(part);
      return;
    }
    if (ts.isTemplateExpression(node) || ts.isNoSubstitutionTemplateLiteral(node)) {
      if (isReadable(plain(node))) note(node, plain(node));
    } else if (ts.isStringLiteral(node) && isReadable(node.text)) note(node, node.text);
    ts.forEachChild(node, visit);
  };
  visit(source);
  return found;
}

/** Markup is judged by what it shows; rules of style sheets show nothing. */
function isReadable(text: string): boolean {
  if (/^<[!?\w]/.test(text)) return READABLE.test(shownOf(text).trim());
  return !/\{\s*[\w-]+:/.test(text) && READABLE.test(text);
}

/** A word that something is compared with or known by, or that says which key is meant: never what a person reads. */
function isName(node: ts.Node): boolean {
  if (!ts.isStringLiteral(node) && !ts.isTemplateExpression(node)) return false;
  const { parent } = node;
  if (ts.isBinaryExpression(parent) && parent.left.getText() === 'this.name') return true;
  if (ts.isPropertyAssignment(parent)) return parent.name === node || NAMES.includes(parent.name.getText());
  return ts.isCaseClause(parent) || (ts.isBinaryExpression(parent) && COMPARISONS.includes(parent.operatorToken.kind));
}

/** An error whose text begins with the name of what was called. */
function isFault({ expression, arguments: given }: ts.NewExpression): boolean {
  const text = given?.[0];
  if (!/Error$/.test(nameOf(expression)) || !text) return false;
  if (ts.isStringLiteral(text)) return CALLED.test(text.text);
  return (ts.isTemplateExpression(text) || ts.isNoSubstitutionTemplateLiteral(text)) && CALLED.test(plain(text));
}

/** True for msg(html`…`). */
function isMarkupMessage(
  node: ts.Node,
): node is ts.CallExpression & { readonly arguments: readonly [ts.TaggedTemplateExpression] } {
  if (!ts.isCallExpression(node) || nameOf(node.expression) !== 'msg') return false;
  const [text] = node.arguments;
  return text !== undefined && ts.isTaggedTemplateExpression(text) && nameOf(text.tag) === 'html';
}

/** Properties whose values are names. */
const NAMES: readonly string[] = ['key', 'code', 'kind', 'id'];

const COMPARISONS: readonly ts.SyntaxKind[] = [
  ts.SyntaxKind.EqualsEqualsEqualsToken,
  ts.SyntaxKind.ExclamationEqualsEqualsToken,
];

/** What a markup template is filled with, but for the names of classes. */
function shownParts(template: ts.TemplateExpression): ts.Expression[] {
  let markup = template.head.text;
  return template.templateSpans.flatMap(({ expression, literal }) => {
    const before = markup;
    markup += `…${literal.text}`;
    return /\sclass=(?:"[^"]*)?$/.test(before) ? [] : [expression];
  });
}

function nameOf(node: ts.Expression): string {
  return ts.isPropertyAccessExpression(node) ? node.name.text : node.getText();
}

/** A template without its expressions. */
function plain(template: ts.TemplateLiteral): string {
  if (ts.isNoSubstitutionTemplateLiteral(template)) return template.text;
  return [template.head.text, ...template.templateSpans.map((span) => span.literal.text)].join('…');
}

/** What markup shows of itself: the words between its tags and in the attributes that are read out, but no keys. */
function shownOf(text: string): string {
  const markup = text.replace(/<!--.*?-->|<kbd>.*?<\/kbd>/gs, '');
  const attributes = [...markup.matchAll(SHOWN)].map((match) => match[1]);
  const words = markup.replace(/<(?:[^<>"']|"[^"]*"|'[^']*')*>/g, ' ').replace(/&\w+;/g, ' ');
  return [words, ...attributes].join(' ');
}
