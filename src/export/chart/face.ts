/** The four bundled faces, each a family and a weight. */
export type Face = 'serif' | 'serifBold' | 'sans' | 'sansBold';
