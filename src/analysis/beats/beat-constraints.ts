/** What the locks demand of the beats. Times in seconds of the recording. */
export interface BeatConstraints {
  /** Beats that must be, ascending and distinct. */
  readonly required: readonly number[];
  /** Stretches, ends included, in which no beat may be except required ones. */
  readonly forbidden: readonly { readonly from: number; readonly to: number }[];
}
