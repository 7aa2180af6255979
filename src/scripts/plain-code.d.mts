/** The binding of essentia.js with closures in the place of functions made out of text. */
export declare function plainClosures(code: string): string;
/** wavesurfer.js with its stylesheet adopted instead of written as an element. */
export declare function adoptedStyles(code: string): string;
