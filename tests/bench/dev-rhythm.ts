/**
 * Rhythm alone over a folder of WAV files, features kept on disk: `dev-rhythm.js AUDIO_DIR CACHE_DIR OUT_DIR [ID ...]`.
 * For work on the solver; the real figures come from the command line.
 */
import { existsSync, mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Evidence, TrackName } from '../../src/analysis/evidence/evidence.js';
import { analyse } from '../../src/analysis/analyse.js';
import { SILENT_PROGRESS } from '../../src/analysis/progress.js';
import { solveRhythm } from '../../src/analysis/solve-rhythm.js';
import { loadTools } from '../../src/platform/worker/tools-loader.js';
import { beatsOf } from '../../src/music/meter.js';

/** Mono at 22.05 kHz from a 16-bit WAV at 44.1 kHz: channels averaged, halved with a 31-tap half-band filter. */
export function readSignal(path: string): Float32Array {
  const bytes = readFileSync(path);
  let at = 12;
  let channels = 2;
  for (;;) {
    const id = bytes.toString('latin1', at, at + 4);
    const size = bytes.readUInt32LE(at + 4);
    if (id === 'fmt ') channels = bytes.readUInt16LE(at + 10);
    if (id === 'data') {
      const count = Math.floor(Math.min(size, bytes.length - at - 8) / 2 / channels);
      const mono = new Float32Array(count);
      for (let i = 0; i < count; i++) {
        let sum = 0;
        for (let c = 0; c < channels; c++) sum += bytes.readInt16LE(at + 8 + 2 * (i * channels + c));
        mono[i] = sum / channels / 32768;
      }
      return halve(mono);
    }
    at += 8 + size + (size % 2);
  }
}

function halve(x: Float32Array): Float32Array {
  const taps: number[] = [];
  for (let k = -31; k <= 31; k++) {
    const sinc = k === 0 ? 0.5 : Math.sin((Math.PI * k) / 2) / (Math.PI * k);
    taps.push(sinc * (0.5 + 0.5 * Math.cos((Math.PI * k) / 32)));
  }
  const out = new Float32Array(Math.floor(x.length / 2));
  for (let i = 0; i < out.length; i++) {
    let sum = 0;
    for (let k = -31; k <= 31; k++) sum += (taps[k + 31] as number) * (x[2 * i + k] ?? 0);
    out[i] = sum;
  }
  return out;
}

export async function cachedEvidence(audio: string, cache: string, id: string): Promise<Evidence> {
  const path = join(cache, `${id}.json`);
  if (existsSync(path)) {
    const saved = JSON.parse(readFileSync(path, 'utf8')) as Evidence & {
      tracks: Record<TrackName, { rate: number; width: number; data: string }>;
    };
    const tracks = Object.fromEntries(
      Object.entries(saved.tracks).map(([name, t]) => [
        name,
        { ...t, data: new Uint8Array(Buffer.from(t.data as unknown as string, 'base64')) },
      ]),
    ) as unknown as Evidence['tracks'];
    return { ...saved, tracks };
  }
  const evidence = await analyse(readSignal(join(audio, `${id}.wav`)), await loadTools(), SILENT_PROGRESS);
  const tracks = Object.fromEntries(
    Object.entries(evidence.tracks).map(([name, t]) => [name, { ...t, data: Buffer.from(t.data).toString('base64') }]),
  );
  writeFileSync(path, JSON.stringify({ ...evidence, tracks }));
  return evidence;
}

async function main(): Promise<void> {
  const [audio, cache, out, ...only] = process.argv.slice(2) as [string, string, string, ...string[]];
  mkdirSync(cache, { recursive: true });
  mkdirSync(out, { recursive: true });
  const ids = readdirSync(audio)
    .filter((name) => name.endsWith('.wav'))
    .map((name) => name.slice(0, -4))
    .filter((id) => only.length === 0 || only.includes(id));
  for (const id of ids) {
    const evidence = await cachedEvidence(audio, cache, id);
    const from = Date.now();
    const outcome = solveRhythm(evidence, []);
    if (!outcome.ok) throw new Error(`${id}: a conflict without locks`);
    const beats: unknown[] = [];
    const intervals: number[] = [];
    let measure = 0;
    for (const span of outcome.spans) {
      if (span.kind !== 'bar') continue;
      measure++;
      const num = Math.ceil(beatsOf(span.meter));
      span.beats.forEach((time, k) => {
        const position = span.pickup ? k + 2 : k + 1;
        beats.push({
          time,
          duration: 0,
          value: { position, measure, num_beats: num, beat_units: 4 },
          confidence: span.confidence,
        });
        const next = span.beats[k + 1];
        if (next !== undefined) intervals.push(next - time);
      });
    }
    intervals.sort((a, b) => a - b);
    const tempo = 60 / (intervals[intervals.length >> 1] ?? 0.5);
    const annotation = (namespace: string, data: unknown[]): unknown => ({
      namespace,
      annotation_metadata: {},
      data,
      sandbox: {},
    });
    const jams = {
      file_metadata: { duration: evidence.duration },
      sandbox: {},
      annotations: [
        annotation('beat_position', beats),
        annotation('tempo', [{ time: 0, duration: evidence.duration, value: tempo, confidence: 1 }]),
      ],
    };
    writeFileSync(join(out, `${id}.jams`), JSON.stringify(jams));
    console.log(
      id,
      `${tempo.toFixed(1)} bpm`,
      `${outcome.prevailing.count}/${outcome.prevailing.unit}`,
      `${Date.now() - from} ms`,
    );
  }
}

if (/dev[^/\\]*$/.test(process.argv[1] ?? '')) await main();
