/** The bundled recordings as the empty page offers them: file, title, what there is to find in it. */
export const BUNDLED: readonly { readonly file: string; readonly title: string; readonly about: string }[] = [
  {
    file: 'kites-over-brennick.ogg',
    title: 'Kites over Brennick',
    about: '3:24, in 4, tempo by hand; a pickup, a bar cut short, a bar too many',
  },
  {
    file: 'tarn-at-wendlow.mp3',
    title: 'The Tarn at Wendlow',
    about: '3:19, in 3, tuned sharp; some bars of another length',
  },
];
