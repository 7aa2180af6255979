import { computed, type ReadonlySignal } from '@preact/signals-core';
import { findPasses } from '../../analysis/passes/find-passes.js';
import type { PassTable } from '../../model/pass-table.js';
import type { Core } from '../song/core.js';
import { isEvidence } from '../song/no-evidence.js';

/** The passes of the open song's sections side by side: worked out when they are looked at, once a map. */
export function passTables(core: Core): ReadonlySignal<readonly PassTable[]> {
  const evidence = computed(() => core.desk.value?.song.value.evidence);
  return computed(() => {
    const map = core.map.value;
    const heard = evidence.value;
    return map ? findPasses(map, heard && isEvidence(heard) ? heard : undefined) : [];
  });
}
