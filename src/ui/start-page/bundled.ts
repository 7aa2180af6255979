/** The bundled recordings as the empty page offers them: file, title, what there is to find in it. */
export const BUNDLED: readonly { readonly file: string; readonly title: string; readonly about: string }[] = [
  {
    file: 'kites-over-brennick.ogg',
    title: 'Kites over Brennick',
    about: '3:24. Small band in 4, about 95 bpm: a pickup, no two verses alike, a long bar before the last chorus',
  },
  {
    file: 'tarn-at-wendlow.mp3',
    title: 'The Tarn at Wendlow',
    about: '3:19. Guitar, flute and cello in 3, about 112 bpm, tuned sharp: some bars held, some cut short',
  },
];
