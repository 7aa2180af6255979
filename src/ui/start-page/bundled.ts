/** The bundled recordings as the empty page offers them: file under samples/, title, what there is to find in it. */
export const BUNDLED: readonly { readonly file: string; readonly title: string; readonly about: string }[] = [];
