import type { ReactiveController, ReactiveControllerHost } from 'lit';

/** What the media keys of a keyboard, a headset or a lock screen are to do. */
export interface MediaKeys {
  readonly play: () => void;
  readonly stop: () => void;
  readonly back: () => void;
  readonly on: () => void;
}

/** Seconds of silence: browsers give the keys only to a page that plays an element longer than five. */
const SILENCE = 8;
const RATE = 8000;

/**
 * Takes the media keys while the host is in the page (W3C Media Session). Sound from an AudioContext alone does not get a page
 * these keys, so a silent element plays beside it.
 */
export class MediaKeysController implements ReactiveController {
  private silence: HTMLAudioElement | undefined;
  private url = '';

  constructor(
    host: ReactiveControllerHost,
    private readonly keys: MediaKeys,
  ) {
    host.addController(this);
  }

  hostConnected(): void {
    if (!('mediaSession' in navigator)) return;
    const { play, stop, back, on } = this.keys;
    this.handle('play', play);
    this.handle('pause', stop);
    this.handle('stop', stop);
    this.handle('previoustrack', back);
    this.handle('nexttrack', on);
  }

  hostDisconnected(): void {
    if (!('mediaSession' in navigator)) return;
    for (const key of ['play', 'pause', 'stop', 'previoustrack', 'nexttrack'] as const) this.handle(key, null);
    navigator.mediaSession.playbackState = 'none';
    navigator.mediaSession.metadata = null;
    this.silence?.pause();
    this.silence = undefined;
    URL.revokeObjectURL(this.url);
  }

  /** Tells the system what plays, and whether it does. */
  tell(title: string, playing: boolean): void {
    if (!('mediaSession' in navigator) || typeof MediaMetadata === 'undefined') return;
    if (!playing && !this.silence) return;
    if (navigator.mediaSession.metadata?.title !== title)
      navigator.mediaSession.metadata = new MediaMetadata({ title, artist: 'Barwright' });
    navigator.mediaSession.playbackState = playing ? 'playing' : 'paused';
    if (playing) {
      this.silence ??= this.makeSilence();
      // Refused before the user has touched the page: then the keys are not given either.
      this.silence.play().catch(() => {});
    } else {
      this.silence?.pause();
    }
  }

  private makeSilence(): HTMLAudioElement {
    this.url = URL.createObjectURL(silentWave());
    const element = new Audio(this.url);
    element.loop = true;
    return element;
  }

  private handle(key: MediaSessionAction, run: (() => void) | null): void {
    try {
      navigator.mediaSession.setActionHandler(key, run);
    } catch {
      // A browser that does not know this key.
    }
  }
}

/** 8-bit mono PCM, in which silence is 128. */
function silentWave(): Blob {
  const head = new DataView(new ArrayBuffer(44));
  const text = (at: number, word: string): void =>
    [...word].forEach((letter, i) => head.setUint8(at + i, letter.charCodeAt(0)));
  const length = SILENCE * RATE;
  text(0, 'RIFF');
  head.setUint32(4, 36 + length, true);
  text(8, 'WAVEfmt ');
  head.setUint32(16, 16, true);
  head.setUint16(20, 1, true);
  head.setUint16(22, 1, true);
  head.setUint32(24, RATE, true);
  head.setUint32(28, RATE, true);
  head.setUint16(32, 1, true);
  head.setUint16(34, 8, true);
  text(36, 'data');
  head.setUint32(40, length, true);
  return new Blob([head.buffer, new Uint8Array(length).fill(128)], { type: 'audio/wav' });
}
