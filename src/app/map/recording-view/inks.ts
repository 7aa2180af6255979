import type { ReactiveControllerHost } from 'lit';
import type { Session } from '../../kit/session.js';
import { MediaController } from '../../kit/owners.js';

/** Colours and faces, read from the tokens. */
export interface Inks {
  readonly ink: string;
  readonly soft: string;
  readonly faint: string;
  readonly rule: string;
  readonly paper: string;
  readonly wave: string;
  readonly play: string;
  readonly select: string;
  readonly caution: string;
  readonly music: string;
  readonly plain: string;
}

/** The inks of the theme that is shown. Reading them lays the page out, so they are read once for each theme. */
export class InkController {
  private readonly dark: MediaController;
  private read: { readonly theme: string; readonly inks: Inks } | undefined;

  /** The host renders again when the system turns light or dark. */
  constructor(private readonly host: ReactiveControllerHost & Element & { readonly session: Session }) {
    this.dark = new MediaController(host, '(prefers-color-scheme: dark)');
  }

  get inks(): Inks {
    const theme = `${this.host.session.settings.peek().theme} ${this.dark.matches}`;
    if (this.read?.theme !== theme) this.read = { theme, inks: readInks(this.host) };
    return this.read.inks;
  }
}

function readInks(element: Element): Inks {
  const style = getComputedStyle(element);
  const token = (name: string): string => style.getPropertyValue(name).trim();
  return {
    ink: token('--ink'),
    soft: token('--ink-soft'),
    faint: token('--ink-faint'),
    rule: token('--rule'),
    paper: token('--paper'),
    wave: token('--wave'),
    play: token('--play'),
    select: token('--select'),
    caution: token('--caution'),
    music: token('--music'),
    plain: token('--plain'),
  };
}
