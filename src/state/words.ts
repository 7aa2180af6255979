/** The words of the error that `attempt` throws; undefined when it throws none. */
export function faultOf(attempt: () => unknown): string | undefined {
  try {
    attempt();
    return undefined;
  } catch (error) {
    return error instanceof Error ? error.message : String(error);
  }
}
