/** The highest fret a capo is put on here: beyond it too little of the neck is left. Common practice, no source. */
export const HIGHEST_CAPO = 9;
