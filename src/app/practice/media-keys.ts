import type { ReactiveController, ReactiveControllerHost } from 'lit';
import { wavHeader } from '../../export/wav.js';

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

function silentWave(): Blob {
  const frames = SILENCE * RATE;
  const head = wavHeader({ sampleRate: RATE, channels: 1, frames }) as Uint8Array<ArrayBuffer>;
  return new Blob([head, new Int16Array(frames)], { type: 'audio/wav' });
}
