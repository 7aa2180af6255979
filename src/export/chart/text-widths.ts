import type { Face } from './face.js';
import { MORE_LETTERS, MORE_WIDTHS } from './more-widths.js';

/** Characters of the third row of each face. */
const MORE = '–—‘’“”•…′″€−';

/**
 * Advance widths in thousandths of the size. Source: the hmtx tables of Source Serif 4 and Source Sans 3 (weights 400 and
 * 600, as bundled); a test reads them from the fonts. Format: U+0020 to U+007E, U+00A0 to U+00FF, then MORE; 0 where the face
 * has no such character.
 */
const TABLE: Readonly<Record<Face, { readonly ascii: string; readonly latin: string; readonly more: string }>> = {
  serif: {
    ascii:
      '237 289 381 525 518 932 728 182 362 362 458 534 302 320 302 341 529 529 529 529 529 529 529 529 529 ' +
      '529 302 302 534 534 534 414 834 712 653 662 739 638 612 723 814 376 381 710 618 935 768 738 621 738 ' +
      '690 544 632 758 709 1005 672 667 586 335 341 335 534 514 400 541 619 520 614 533 369 557 641 329 303 ' +
      '594 329 955 643 579 622 601 456 465 359 628 579 836 569 586 490 359 290 359 534',
    latin:
      '237 289 518 519 501 518 290 494 400 756 376 540 534 320 460 400 344 534 381 381 400 617 599 302 400 ' +
      '381 400 540 902 932 902 414 712 712 712 712 712 712 956 662 638 638 638 638 376 376 376 376 739 768 ' +
      '738 738 738 738 738 534 738 758 758 758 758 667 624 630 541 541 541 541 541 541 827 520 533 533 533 ' +
      '533 329 329 329 329 565 643 579 579 579 579 579 534 579 628 628 628 628 586 607 586',
    more: '514 814 225 225 440 440 305 826 249 431 518 534',
  },
  serifBold: {
    ascii:
      '228 314 423 544 538 949 739 206 384 384 458 548 307 335 307 364 547 547 547 547 547 547 547 547 547 ' +
      '547 307 307 548 548 548 430 867 712 668 663 744 634 610 725 809 387 394 726 616 930 757 742 637 742 ' +
      '707 560 650 757 706 1020 678 667 592 356 364 356 548 528 400 554 630 527 623 540 374 573 650 336 313 ' +
      '615 337 961 652 590 632 613 475 475 368 640 581 850 585 592 497 365 301 365 548',
    latin:
      '228 314 538 539 520 538 301 514 400 750 385 572 548 335 465 400 344 548 390 390 400 626 622 307 400 ' +
      '390 409 572 918 949 918 430 712 712 712 712 712 712 943 663 634 634 634 634 387 387 387 387 744 757 ' +
      '742 742 742 742 742 548 742 757 757 757 757 667 638 656 554 554 554 554 554 554 831 527 540 540 540 ' +
      '540 336 336 336 336 577 652 590 590 590 590 590 548 590 640 640 640 640 592 622 592',
    more: '528 828 236 236 460 459 320 853 252 450 538 548',
  },
  sans: {
    ascii:
      '200 289 426 497 497 824 609 249 303 303 418 497 249 311 249 350 497 497 497 497 497 497 497 497 497 ' +
      '497 249 249 497 497 497 425 847 543 588 571 615 527 494 617 652 263 479 579 486 727 647 664 566 664 ' +
      '569 534 536 645 515 786 513 476 539 303 350 303 497 500 542 504 553 456 555 496 292 504 544 246 247 ' +
      '495 255 829 547 542 555 555 347 419 338 544 467 719 446 467 425 303 241 303 497',
    latin:
      '200 289 497 497 497 497 241 497 542 744 345 429 497 311 423 542 331 497 367 367 542 562 560 249 542 ' +
      '367 365 429 781 808 796 425 544 544 544 544 544 544 822 571 527 527 527 527 263 263 263 263 639 647 ' +
      '664 664 664 664 664 497 664 645 645 645 645 476 583 576 504 504 504 504 504 504 778 456 496 496 496 ' +
      '496 246 246 246 246 544 547 542 542 542 542 542 497 542 544 544 544 544 467 555 467',
    more: '480 800 249 249 426 426 304 948 249 426 497 497',
  },
  sansBold: {
    ascii:
      '200 315 482 513 513 841 639 275 324 324 438 513 275 322 275 344 513 513 513 513 513 513 513 513 513 ' +
      '513 275 275 513 513 513 444 875 558 597 576 625 538 510 628 663 282 494 597 502 745 657 674 582 674 ' +
      '592 545 546 655 536 800 541 501 540 324 344 324 513 500 549 516 563 462 564 507 317 520 558 262 263 ' +
      '522 271 843 560 549 564 564 373 431 361 556 495 748 481 495 443 324 255 324 513',
    latin:
      '200 315 513 513 513 513 255 513 549 747 352 455 513 322 443 549 348 513 372 372 549 578 599 275 549 ' +
      '372 369 455 795 827 807 444 558 558 558 558 558 558 834 576 538 538 538 538 282 282 282 282 651 656 ' +
      '674 674 674 674 674 513 674 655 655 655 655 501 600 604 516 516 516 516 516 516 780 462 507 507 507 ' +
      '507 262 262 262 262 552 560 549 549 549 549 549 513 549 556 556 556 556 495 564 495',
    more: '480 800 275 275 482 482 325 964 275 482 513 513',
  },
};

/** Width taken for a character that the faces lack: whatever face stands in is squeezed into it when it is drawn. */
const WIDE = 1100;
const OTHER = 700;

const known = new Map<Face, ReadonlyMap<string, number>>();

function widthsOf(face: Face): ReadonlyMap<string, number> {
  const before = known.get(face);
  if (before) return before;
  const { ascii, latin, more } = TABLE[face];
  const map = new Map<string, number>();
  const put = (character: string, width: number): void => void (width > 0 && map.set(character, width));
  ascii.split(' ').forEach((width, i) => put(String.fromCharCode(32 + i), Number(width)));
  latin.split(' ').forEach((width, i) => put(String.fromCharCode(160 + i), Number(width)));
  more.split(' ').forEach((width, i) => put(MORE.charAt(i), Number(width)));
  MORE_WIDTHS[face].split(' ').forEach((width, i) => put(MORE_LETTERS.charAt(i), Number(width)));
  known.set(face, map);
  return map;
}

/**
 * Width of a text in points at a size in points, set without kerning. A letter with accents is as wide as without them.
 * Characters that the bundled faces lack count as 0.7 of the size, those drawn wide (East Asian scripts, emoji) as 1.1.
 */
export function textWidth(text: string, size: number, face: Face): number {
  const widths = widthsOf(face);
  let sum = 0;
  for (const character of text) sum += widths.get(character) ?? otherWidth(character, widths);
  return (sum * size) / 1000;
}

function otherWidth(character: string, widths: ReadonlyMap<string, number>): number {
  const code = character.codePointAt(0) ?? 0;
  if (isJoiner(code)) return 0;
  if (code >= 0x1100 && isWide(code)) return WIDE;
  // Accent by accent off, the letter itself first: some are other names of a letter that is known.
  for (const pieces = [...character.normalize('NFD')]; pieces.length > 0; pieces.pop()) {
    const width = widths.get(pieces.join('').normalize('NFC'));
    if (width !== undefined) return width;
  }
  return OTHER;
}

/** Marks that sit on the character before them, and characters without a width. */
function isJoiner(code: number): boolean {
  return (
    (code >= 0x300 && code <= 0x36f) ||
    (code >= 0x200b && code <= 0x200f) ||
    (code >= 0x202a && code <= 0x202e) ||
    (code >= 0x2060 && code <= 0x206f) ||
    (code >= 0xfe00 && code <= 0xfe0f)
  );
}

/** Roughly the wide and full-width ranges (Unicode Standard Annex 11, from memory), generously. */
function isWide(code: number): boolean {
  return code <= 0x115f || code >= 0x2e80 || (code >= 0x2190 && code <= 0x2bff);
}

/** The text shortened with "…" so that it is no wider than `width`; as it is where it fits. */
export function shortened(text: string, width: number, size: number, face: Face): string {
  if (textWidth(text, size, face) <= width) return text;
  const room = width - textWidth('…', size, face);
  let kept = '';
  let sum = 0;
  for (const character of text) {
    sum += textWidth(character, size, face);
    if (sum > room) break;
    kept += character;
  }
  return `${kept.trimEnd()}…`;
}

/** The text in lines no wider than `width`, at most `most`; the last is shortened where more is left. */
export function wrapped(text: string, width: number, size: number, face: Face, most: number): readonly string[] {
  const lines: string[] = [];
  let line = '';
  const words = text.split(/\s+/).filter((word) => word !== '');
  for (const [i, word] of words.entries()) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (textWidth(longer, size, face) <= width || line === '') {
      line = longer;
      continue;
    }
    if (lines.length === most - 1) {
      line = [line, ...words.slice(i)].join(' ').slice(0, 2000);
      break;
    }
    lines.push(line);
    line = word;
  }
  if (line !== '') lines.push(line);
  return lines.map((each) => shortened(each, width, size, face));
}
