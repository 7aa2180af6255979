/** A bundled recording as the start page offers it; `file` lies under samples/ beside the page. */
export interface Sample {
  readonly file: string;
  readonly title: string;
  readonly about: string;
}

export const SAMPLES: readonly Sample[] = [
  {
    file: 'kites-over-brennick.ogg',
    title: 'Kites over Brennick',
    about:
      'Small band in 4, about 95 bpm, with a pickup; no two verses alike, and a long bar before the last chorus. 3:24',
  },
  {
    file: 'tarn-at-wendlow.mp3',
    title: 'The Tarn at Wendlow',
    about: 'Nylon guitar, flute and cello in 3, about 112 bpm, tuned sharp, with held and shortened bars. 3:19',
  },
];
