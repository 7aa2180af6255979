/** First and last bar of a pass, both included. */
export interface PassBars {
  readonly first: number;
  readonly last: number;
}
