import '../../../src/app/kit/styles/page.css';
import '../../../src/app/shell/map-workspace.js';
import { fakeSession, songOf } from './fake-session.js';

const songs: Record<string, () => ReturnType<typeof songOf>> = {
  drift: () =>
    songOf(
      'Kettle Moon',
      [
        'I Intro: 4 4 4 4 | G . C:maj7 D:sus4-D',
        'A Verse: 4 4 4 2 4 4 4? 4 | G E:min7 C-D G A:min7 F#:min7(b5) C/E D:7-G/B-A:min-D',
        'B Chorus: 4 4 4 4 4 4 4 4 | C G D . C G D:7 G',
        'A Verse: 4 4 4 2 4 4 4 4 4 | G E:min C-D G A:min F C D D:7',
        'B Chorus?: 4 4 4 4 4 4 4? 6 | C G D . C G D G',
        'C Bridge?: 3 3 3 3 3 3 4 7/8,(2+2+3) 3.5 4 | E:min . A:min . E:min . B:7 C D E',
        'B Chorus: 4 4 4 4 4 4 4 4 | C G D . C G D G',
        'D Tag: 4 4 ~6.3 4 | G C N G',
      ],
      { pickup: 1 },
    ),
  waltz: () =>
    songOf(
      'Lantern Waltz',
      ['A Verse: 3 3 3 3 3 3 2 3 | D . G . A:7 . D .', 'B Refrain?: 3 3 3 3 3? 3 4 3 3 3 3 3 3 3 3 3 | G D A D'],
      { meter: '3/4' },
    ),
  six: () =>
    songOf('Six Boats', ['A Verse: 2 2 2 2 2 2 1 2 | D . G . A:7 . D .', 'B Refrain?: 2 2 2 2 2? 2 2 2 | G D A D'], {
      meter: '6/8',
    }),
  long: () =>
    songOf(
      'Long',
      Array.from(
        { length: 19 },
        (_, i) =>
          `${'ABCA'[i % 4]} ${['Verse', 'Chorus', 'Bridge', 'Verse'][i % 4]}?: ${Array.from({ length: 16 }, (_, k) => (k === i % 16 ? 2 : 4)).join(' ')} | G E:min C-D G A:min F C D`,
      ),
    ),
};

const query = new URLSearchParams(location.search);
const session = fakeSession((songs[query.get('song') ?? 'drift'] ?? songs['drift'])!());
document.documentElement.dataset['theme'] = query.get('theme') ?? 'light';
const workspace = document.createElement('bw-map-workspace');
workspace.session = session;
document.body.append(workspace);
Object.assign(window, { session });
