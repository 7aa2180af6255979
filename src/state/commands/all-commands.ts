import { BAR_COMMANDS } from './bar-commands.js';
import { BEAT_COMMANDS } from './beat-commands.js';
import { CHORD_COMMANDS } from './chord-commands.js';
import type { Command } from './command.js';
import { DOUBT_COMMANDS } from './doubt-commands.js';
import { HANDS_FREE_COMMANDS } from './hands-free-commands.js';
import { FINGERING_COMMANDS } from './fingering-commands.js';
import { MOVE_COMMANDS } from './move-commands.js';
import { PASS_COMMANDS } from './pass-commands.js';
import { PLAY_COMMANDS } from './play-commands.js';
import { PRACTICE_COMMANDS } from './practice-commands.js';
import { SECTION_COMMANDS } from './section-commands.js';
import { SONG_COMMANDS } from './song-commands.js';
import { STRUM_COMMANDS } from './strum-commands.js';
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
