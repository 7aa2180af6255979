import { msg } from '@lit/localize';
/** A part of the help. In a paragraph `[[id]]` stands for the command of that id: its name and key are put there. */
export interface HelpPart {
  readonly title: string;
  readonly paragraphs: readonly string[];
  readonly picture?: HelpPicture;
}

/** A picture of the real screen, taken by `npm run bench -- pictures`; `name` without folder and ending. */
export interface HelpPicture {
  readonly name: string;
  readonly alt: string;
}

export const HELP: readonly HelpPart[] = [
  {
    title: msg('The way through a song'),
    paragraphs: [
      msg('Open a recording: drop it on the page, or choose it. Its bars appear soon; you can listen meanwhile.'),
      msg(
        'Then listen to the places it is least sure of, and put right what is wrong. Name the sections. Compare the passes. Practise with the click. Print the chart, or take along files for other programs.',
      ),
      msg('You need not go in this order, and you can always take back what you did with [[undo]], after days too.'),
    ],
    picture: {
      name: 'map',
      alt: msg(
        'The bar map: each section is a row of bars drawn to scale with its chords; a short bar is narrower and carries its number of beats.',
      ),
    },
  },
  {
    title: msg('Doubts'),
    paragraphs: [
      msg(
        'A doubt is a place where another reading is nearly as likely: a bar of 4 or of 2, half or double tempo, beat 1 a beat later. The worst come first. [[doubt-next]] plays the place with a click on its beats, [[doubt-hear-other]] as the other reading counts it.',
      ),
      msg(
        'If the click is right, [[doubt-keep]]. If the other reading is right, [[doubt-other]]. If neither is: count, and press the number of beats the bar has.',
      ),
      msg(
        'A dashed bar line is a doubtful one. Where no doubt is left the map may still be wrong: listen once to the whole song with the click.',
      ),
    ],
    picture: {
      name: 'doubts',
      alt: msg(
        'The list of doubts: each says in a sentence what the two readings are, with buttons to hear the place and to take one of them.',
      ),
    },
  },
  {
    title: msg('Locks: what you decide stays'),
    paragraphs: [
      msg(
        'Put the cursor on a bar and press its number of beats, or say [[bar-start]]. If all bars from a place on come a beat too late, [[lines-earlier]]; too early, [[lines-later]]. If it counts twice as fast as you do, [[tempo-half]].',
      ),
      msg(
        'Each of these is a lock, drawn as a pin under its bar line. Everything around it is worked out again at once, and a lock is never overwritten. [[lock-lift]] takes one away. If two locks contradict each other you are told which, and nothing is changed.',
      ),
      msg(
        'Where the band has no steady beat, [[free-time]]. Where nothing else helps, play the place and tap along: [[tap]].',
      ),
    ],
  },
  {
    title: msg('Sections and passes'),
    paragraphs: [
      msg(
        'Suggested sections are drawn differently until you accept them: [[section-accept-all]], or one by one. Select bars and choose [[section-name]] to name them. Sections with the same letter are passes of the same material.',
      ),
      msg(
        'In "Passes" they stand under one another, bar to bar. What differs is inked and said in a sentence; equal bars stay pale. [[pass-hear-both]] plays both, one after the other.',
      ),
    ],
    picture: {
      name: 'passes',
      alt: msg(
        'The passes of a section under one another; the bars in which they differ stand out, and the differences are said in words.',
      ),
    },
  },
  {
    title: msg('Chords and strum'),
    paragraphs: [
      msg(
        '[[chords-type]] takes chords as on a lead sheet: G, F#m7, C/E. A chord can also be dragged to another beat. Suggested chords wait for you to accept them: [[chords-accept]].',
      ),
      msg(
        '[[shapes-show]] shows fingerings for your instrument and finds an easier key. [[strum-edit]] sets the strum of a section.',
      ),
    ],
  },
  {
    title: msg('Practising'),
    paragraphs: [
      msg(
        '"Play" shows the bar that sounds as large as it gets, what comes next, and whether it is a short one. [[slower]] and [[faster]] change the speed but not the pitch. [[loop-bars]] or [[loop-section]] repeats the hard place; [[count-in]].',
      ),
      msg(
        'Beside it: loops that get faster each round, an order of sections of your own, pedals, a check of your timing, and practice tracks to take along.',
      ),
    ],
    picture: {
      name: 'play',
      alt: msg(
        'The view for the music stand: the bar that sounds with its chords and beat dots, large, and the bar that comes next.',
      ),
    },
  },
  {
    title: msg('The chart, and files for others'),
    paragraphs: [
      msg(
        '"Chart" shows the page as it prints, with its settings beside it: [[print-chart]], [[save-chart-pdf]]. Repeats are written out or folded; either way the chart adds up to the recording.',
      ),
      msg(
        '[[files]] has plain text for a message, a page that opens anywhere, MusicXML for notation programs, MIDI in time with the recording, and more. Beats and chords from other programs can be taken over there too.',
      ),
    ],
    picture: {
      name: 'chart',
      alt: msg('The printed page: title, sections with their bars and chords, repeats and endings.'),
    },
  },
  {
    title: msg('Where songs are kept'),
    paragraphs: [
      msg(
        'In this browser, on this machine, each step as soon as it is done. Nothing is sent anywhere. But a browser can be told to clear what it keeps, and some clear it by themselves: make a backup now and then, [[back-up]], and put the file somewhere safe.',
      ),
      msg('To work on another machine, [[save-project]] and open that file there.'),
    ],
  },
  {
    title: msg('Ears, hands, and other people’s work'),
    paragraphs: [
      msg(
        'Playback starts quietly and rises only by hand. Long listening above 85 dBA harms hearing (NIOSH, 1998), and a click on headphones gets there sooner than you think. Stop and rest when hand or wrist hurts: a hard place is learnt in many short sittings.',
      ),
      msg(
        'A recording and its arrangement belong to their owners. Share charts, practice tracks and project files with the recording inside only as their licence allows.',
      ),
    ],
  },
  {
    title: msg('Keys'),
    paragraphs: [
      msg(
        'Hear a bar, press its number of beats: that is most of the work. [[help]] shows every key; the menu shows every command with its key. Tab and F6 go from one part of the page to the next.',
      ),
    ],
  },
];

export type HelpPiece = { readonly text: string } | { readonly command: string };

/** A paragraph in pieces: words, and ids of commands. */
export function helpPieces(paragraph: string): readonly HelpPiece[] {
  return paragraph
    .split(/\[\[([\w-]+)\]\]/)
    .map((piece, i): HelpPiece => (i % 2 === 0 ? { text: piece } : { command: piece }));
}
