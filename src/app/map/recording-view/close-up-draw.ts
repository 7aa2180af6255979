import type { BarIndex } from '../../../music/units.js';
import { sectionColour } from '../../../model/section-colours.js';
import type { BarMark, CloseUp, PinMark } from './close-up-geometry.js';
import type { Inks } from './inks.js';

/** The lanes of the close-up from top to bottom: heights in CSS pixels. */
export interface Lanes {
  readonly band: number;
  readonly numbers: number;
  readonly wave: number;
  readonly pins: number;
}

export const WIDE_LANES: Lanes = { band: 22, numbers: 20, wave: 124, pins: 20 };
/** On a low screen, so that the map below stays the largest thing on it. */
export const LOW_LANES: Lanes = { ...WIDE_LANES, wave: 92 };
/** On a phone: pins that a finger can take. */
export const NARROW_LANES: Lanes = { band: 20, numbers: 20, wave: 92, pins: 26 };

export function totalHeight(lanes: Lanes): number {
  return lanes.band + lanes.numbers + lanes.wave + lanes.pins;
}

/** What is drawn on, and with what. */
export interface Sheet {
  readonly to: CanvasRenderingContext2D;
  readonly lanes: Lanes;
  /** CSS pixels. */
  readonly width: number;
  readonly inks: Inks;
}

/** What is drawn besides the map itself. */
export interface Overlay {
  readonly selected?: { readonly first: BarIndex; readonly last: BarIndex };
  readonly changed: ReadonlySet<BarIndex>;
  /** Taps so far, in CSS pixels; those on beat 1 are `strong`. */
  readonly taps: readonly { readonly x: number; readonly strong: boolean }[];
  /** The line under the pointer or being dragged: where it stands now. */
  readonly held?: { readonly x: number; readonly from: number };
}

/** Empties the sheet; returns its height. */
function cleared({ to, lanes, width }: Sheet): number {
  const height = totalHeight(lanes);
  to.clearRect(0, 0, width, height);
  return height;
}

/** Ground first (what lies under the waveform): selection, changed bars, stretches without bars. */
export function drawGround(sheet: Sheet, picture: CloseUp, overlay: Overlay): void {
  const { to, lanes, width, inks } = sheet;
  const height = cleared(sheet);
  const top = lanes.band;
  const depth = height - top;
  for (const mark of picture.bars) {
    const { selected } = overlay;
    if (selected && mark.bar >= selected.first && mark.bar <= selected.last) {
      to.fillStyle = inks.select;
      to.fillRect(mark.x, top, mark.width, depth);
    } else if (overlay.changed.has(mark.bar)) {
      to.globalAlpha = 0.5;
      to.fillStyle = inks.select;
      to.fillRect(mark.x, top, mark.width, depth);
      to.globalAlpha = 1;
    }
  }
  to.strokeStyle = inks.rule;
  to.lineWidth = 1;
  for (const stretch of picture.stretches) hatch(to, stretch.x, top + lanes.numbers, stretch.width, lanes.wave, width);
  to.beginPath();
  horizontal(to, top, width);
  horizontal(to, top + lanes.numbers, width);
  horizontal(to, height - lanes.pins, width);
  to.stroke();
}

/** Lines and words over the waveform: sections, bar lines and numbers, beats, notches, pins, taps. */
export function drawLines(sheet: Sheet, picture: CloseUp, overlay: Overlay): void {
  const { to, lanes, width, inks } = sheet;
  const height = cleared(sheet);
  drawBands(to, picture, lanes, width, inks);
  drawBeats(to, picture, lanes, inks);
  drawBars(to, picture, lanes, inks);
  for (const pin of picture.pins) drawPin(to, pin, lanes, inks);
  for (const tap of overlay.taps) {
    to.fillStyle = inks.play;
    to.beginPath();
    to.arc(tap.x, height - lanes.pins - 6, tap.strong ? 5 : 3, 0, 2 * Math.PI);
    to.fill();
  }
  if (overlay.held) drawHeld(to, overlay.held, lanes, inks);
}

function drawBands(to: CanvasRenderingContext2D, picture: CloseUp, lanes: Lanes, width: number, inks: Inks): void {
  to.textBaseline = 'middle';
  to.textAlign = 'left';
  for (const band of picture.bands) {
    const left = Math.max(band.x, -2);
    const right = Math.min(band.x + band.width, width + 2);
    to.fillStyle = sectionColour(band.letter);
    to.globalAlpha = 0.16;
    to.fillRect(left, 0, right - left, lanes.band);
    to.globalAlpha = 1;
    drawEdge(to, left, right, band.suggested);
    if (band.x > -1) to.fillRect(Math.round(band.x), 0, 2, lanes.band);
    const room = right - left - 12;
    if (room < 8) continue;
    to.save();
    to.beginPath();
    to.rect(left, 0, right - left - 2, lanes.band);
    to.clip();
    const y = lanes.band / 2 + 2;
    to.fillStyle = inks.ink;
    to.font = `600 14px ${inks.music}`;
    to.fillText(band.letter, left + 7, y);
    to.font = `13px ${inks.plain}`;
    if (band.name !== band.letter && room - 18 > to.measureText(band.name).width) {
      to.fillStyle = band.suggested ? inks.soft : inks.ink;
      to.fillText(band.name, left + 23, y);
    }
    to.restore();
  }
}

/** Upper edge of a section: broken while it is only suggested. */
function drawEdge(to: CanvasRenderingContext2D, left: number, right: number, suggested: boolean): void {
  const dash = suggested ? 7 : right - left;
  const gap = suggested ? 5 : 0;
  for (let x = left; x < right; x += dash + gap) to.fillRect(x, 0, Math.min(dash, right - x), 3);
}

function drawBeats(to: CanvasRenderingContext2D, picture: CloseUp, lanes: Lanes, inks: Inks): void {
  const top = lanes.band + lanes.numbers;
  to.strokeStyle = inks.faint;
  to.lineWidth = 1;
  to.beginPath();
  for (const beat of picture.beats) {
    const x = crisp(beat.x);
    to.moveTo(x, top + lanes.wave * 0.12);
    to.lineTo(x, top + lanes.wave * 0.88);
  }
  to.globalAlpha = 0.75;
  to.stroke();
  to.globalAlpha = 1;
}

function drawBars(to: CanvasRenderingContext2D, picture: CloseUp, lanes: Lanes, inks: Inks): void {
  const top = lanes.band;
  const foot = top + lanes.numbers + lanes.wave;
  const close = picture.bars.length > 0 && (picture.bars[0]?.width ?? 0) < 9;
  for (const dashed of [false, true]) {
    to.strokeStyle = inks.ink;
    to.lineWidth = close ? 1 : 1.5;
    to.globalAlpha = close ? 0.55 : 1;
    to.setLineDash(dashed ? [4, 4] : []);
    to.beginPath();
    for (const mark of picture.bars) {
      if (mark.doubtful !== dashed) continue;
      const x = crisp(mark.x);
      to.moveTo(x, top + (mark.label === undefined ? lanes.numbers : 4));
      to.lineTo(x, foot);
    }
    to.stroke();
  }
  to.setLineDash([]);
  to.globalAlpha = 1;
  if (picture.closing !== undefined) {
    to.fillStyle = inks.ink;
    to.fillRect(picture.closing - 1, top + lanes.numbers, 3, lanes.wave);
  }
  to.textAlign = 'left';
  to.textBaseline = 'middle';
  for (const mark of picture.bars) {
    if (mark.label !== undefined) {
      to.font = `14px ${inks.music}`;
      to.fillStyle = mark.x < 0 ? inks.soft : inks.ink;
      to.fillText(mark.label, mark.labelX + 5, top + lanes.numbers / 2 + 1);
    }
    if (mark.notch !== undefined) drawNotch(to, mark, lanes, inks);
  }
}

/** An irregular bar: its beat count in a filled notch at its start; a bare wedge where there is no room for the count. */
function drawNotch(to: CanvasRenderingContext2D, mark: BarMark, lanes: Lanes, inks: Inks): void {
  const top = lanes.band + lanes.numbers;
  const text = mark.notch ?? '';
  to.font = `600 13px ${inks.music}`;
  const wide = Math.max(18, to.measureText(text).width + 10);
  to.fillStyle = inks.ink;
  if (mark.width < wide) {
    to.beginPath();
    to.moveTo(mark.x, top);
    to.lineTo(mark.x + Math.max(5, Math.min(mark.width, 9)), top);
    to.lineTo(mark.x, top + 9);
    to.fill();
    return;
  }
  to.beginPath();
  to.moveTo(mark.x, top);
  to.lineTo(mark.x + wide, top);
  to.lineTo(mark.x + wide, top + 13);
  to.lineTo(mark.x + wide - 5, top + 18);
  to.lineTo(mark.x, top + 18);
  to.fill();
  to.fillStyle = inks.paper;
  to.textAlign = 'center';
  to.fillText(text, mark.x + wide / 2, top + 9.5);
  to.textAlign = 'left';
}

/** A lock: a pin whose point touches its line; a lock over a stretch is a bracket between two pins. */
function drawPin(to: CanvasRenderingContext2D, pin: PinMark, lanes: Lanes, inks: Inks): void {
  const top = lanes.band + lanes.numbers + lanes.wave;
  to.fillStyle = inks.ink;
  to.strokeStyle = inks.ink;
  to.lineWidth = 1.5;
  const negative = pin.kind === 'no-beat' || pin.kind === 'not-downbeat';
  for (const x of pin.to === undefined ? [pin.x] : [pin.x, pin.to]) {
    to.beginPath();
    to.moveTo(x, top + 1);
    to.lineTo(x, top + 8);
    to.stroke();
    to.beginPath();
    to.arc(x, top + 11, 4, 0, 2 * Math.PI);
    if (negative) {
      to.fillStyle = inks.paper;
      to.fill();
      to.stroke();
      to.fillStyle = inks.ink;
    } else {
      to.fill();
    }
  }
  if (pin.to === undefined) return;
  to.beginPath();
  to.moveTo(pin.x, top + 11);
  to.lineTo(pin.to, top + 11);
  to.stroke();
}

function drawHeld(
  to: CanvasRenderingContext2D,
  held: { readonly x: number; readonly from: number },
  lanes: Lanes,
  inks: Inks,
): void {
  const top = lanes.band;
  const foot = totalHeight(lanes);
  to.strokeStyle = inks.play;
  to.lineWidth = 3;
  to.beginPath();
  to.moveTo(held.x, top);
  to.lineTo(held.x, foot);
  to.stroke();
  if (held.from === held.x) return;
  to.lineWidth = 1;
  to.setLineDash([2, 3]);
  to.beginPath();
  to.moveTo(held.from, top);
  to.lineTo(held.from, foot);
  to.stroke();
  to.setLineDash([]);
}

function hatch(to: CanvasRenderingContext2D, x: number, top: number, wide: number, deep: number, width: number): void {
  const left = Math.max(0, x);
  const right = Math.min(width, x + wide);
  if (right <= left) return;
  to.save();
  to.beginPath();
  to.rect(left, top, right - left, deep);
  to.clip();
  to.beginPath();
  // Anchored to the stretch, so that the lines scroll with it.
  const start = x + Math.floor((left - x - deep) / 9) * 9;
  for (let at = start; at < right; at += 9) {
    to.moveTo(at, top + deep);
    to.lineTo(at + deep, top);
  }
  to.stroke();
  to.restore();
}

function horizontal(to: CanvasRenderingContext2D, y: number, width: number): void {
  to.moveTo(0, y + 0.5);
  to.lineTo(width, y + 0.5);
}

/** Half pixels, so that a line of one pixel is one pixel. */
function crisp(x: number): number {
  return Math.round(x) + 0.5;
}
