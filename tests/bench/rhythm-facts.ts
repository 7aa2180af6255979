/**
 * What the solver's weights are fitted on: `rhythm-facts.js AUDIO_DIR CACHE_DIR TRUTH_DIR OUT.json [ID ...]`, for
 * fit_downbeats.py and fit_levels.py in src/training. Truth as JSON: `beats` [[time, place]], `judged`, perhaps `bars`.
 */
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beatFeatures } from '../../src/analysis/evidence/features/beat-features.js';
import { heardFacts } from '../../src/analysis/meter/level-facts.js';
import { rhythmBase, type Level } from '../../src/analysis/rhythm-base.js';
import type { Evidence } from '../../src/analysis/evidence/evidence.js';
import { cachedEvidence } from './dev-rhythm.js';

interface Truth {
  readonly beats: readonly (readonly [number, number])[];
  readonly bars?: readonly (readonly [number, number])[];
  readonly judged: readonly [number, number];
  readonly beats_per_bar?: number;
}

/** F measure within 70 ms of sorted times. */
function agreement(truth: readonly number[], found: readonly number[]): number {
  let [i, j, hits] = [0, 0, 0];
  while (i < truth.length && j < found.length) {
    const apart = (found[j] as number) - (truth[i] as number);
    if (Math.abs(apart) <= 0.07) hits++;
    if (apart >= -0.07) i++;
    if (apart <= 0.07) j++;
  }
  return (2 * hits) / Math.max(1, truth.length + found.length);
}

function wayOf(evidence: Evidence, level: Level, truth: Truth): unknown {
  const [from, to] = truth.judged;
  const inside = (times: readonly number[]): number[] => times.filter((time) => time >= from && time <= to);
  const beats = agreement(
    truth.beats.map(([time]) => time),
    inside(level.times),
  );
  const lines = level.bars.path.nodes.slice(0, -1).map((i) => level.times[i] as number);
  const bars =
    truth.bars &&
    agreement(
      truth.bars.map(([time]) => time),
      inside(lines),
    );
  const heard = heardFacts(evidence, level.times, level.period, level.features, level.bars);
  const named = Object.fromEntries(Object.entries(heard ?? {}).map(([name, value]) => [`heard ${name}`, value]));
  return {
    period: level.period,
    beats: level.bars.beats,
    worth: bars === undefined ? beats : (beats + bars) / 2,
    facts: { ...level.facts, ...named, ...level.harmony },
  };
}

function downbeatsOf(evidence: Evidence, truth: Truth): unknown {
  const times = truth.beats.map(([time]) => time);
  const features = beatFeatures(evidence, times, (times[times.length - 1] as number) + 0.5);
  const size = features.accents.length / features.count;
  return {
    places: truth.beats.map(([, place]) => place),
    rows: times.map((_, i) => [
      features.chordChange[i],
      features.bassChange[i],
      features.downbeat[i],
      ...features.accents.subarray(i * size, (i + 1) * size),
    ]),
    network: [...(features.heard ?? [])],
  };
}

const [audio, cache, truths, out, ...only] = process.argv.slice(2) as [string, string, string, string, ...string[]];
const levels: Record<string, unknown> = {};
const downbeats: Record<string, unknown> = {};
for (const id of readdirSync(audio).map((name) => name.replace(/\.wav$/, ''))) {
  const path = join(truths, `${id}.json`);
  if (!existsSync(path) || (only.length > 0 && !only.includes(id))) continue;
  const truth = JSON.parse(readFileSync(path, 'utf8')) as Truth;
  const evidence = await cachedEvidence(audio, cache, id);
  levels[id] = rhythmBase(evidence).levels.map((level) => wayOf(evidence, level, truth));
  if (truth.beats_per_bar !== undefined) downbeats[id] = downbeatsOf(evidence, truth);
}
writeFileSync(out, JSON.stringify({ levels, downbeats }));
