import { BAR_COMMANDS } from '../map/bar-commands.js';
import { BEAT_COMMANDS } from '../map/beat-commands.js';
import { CHORD_COMMANDS } from '../chords/chord-commands.js';
import type { Command } from '../kit/session.js';
import { DOUBT_COMMANDS } from '../doubts/doubt-commands.js';
import { HANDS_FREE_COMMANDS } from '../practice/hands-free-commands.js';
import { FINGERING_COMMANDS } from '../chords/fingering-commands.js';
import { MOVE_COMMANDS } from '../map/move-commands.js';
import { PASS_COMMANDS } from '../passes/pass-commands.js';
import { PLAY_COMMANDS } from '../practice/play-commands.js';
import { PRACTICE_COMMANDS } from '../practice/practice-commands.js';
import { SECTION_COMMANDS } from '../map/section-commands.js';
import { SONG_COMMANDS } from './song-commands.js';
import { STRUM_COMMANDS } from '../chords/strum-commands.js';
import { VIEW_COMMANDS } from './view-commands.js';

/** Every command in the order of the menu. */
export const ALL_COMMANDS: readonly Command[] = [
  ...SONG_COMMANDS,
  ...PLAY_COMMANDS,
  ...PRACTICE_COMMANDS,
  ...HANDS_FREE_COMMANDS,
  ...BAR_COMMANDS,
  ...BEAT_COMMANDS,
  ...SECTION_COMMANDS,
  ...STRUM_COMMANDS,
  ...PASS_COMMANDS,
  ...CHORD_COMMANDS,
  ...FINGERING_COMMANDS,
  ...DOUBT_COMMANDS,
  ...MOVE_COMMANDS,
  ...VIEW_COMMANDS,
];
