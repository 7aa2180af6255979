import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { Ajv } from 'ajv';

// Tests and benchmarks run in the top folder. Source of the schemas in tests/standards/jams: github.com/marl/jams, folder jams/schemata, licence ISC.
const folder = pathToFileURL(resolve('tests/standards/jams') + '/');
const NAMESPACES = ['beat/position', 'chord/chord', 'key/key_mode', 'segment/open', 'tag/open', 'tempo/tempo'];

export interface Jams {
  file_metadata: { title: string; duration: number; jams_version: string };
  annotations: {
    namespace: string;
    time?: number;
    duration?: number;
    data: { time: number; duration: number; value: unknown; confidence: unknown }[];
  }[];
  sandbox?: Record<string, unknown>;
}

/** The schemas are written in draft 4, whose local names are "id"; nothing in them refers to those. */
function read(name: string): object {
  return JSON.parse(readFileSync(new URL(name, folder), 'utf8'), (key, value: unknown) =>
    key === '$schema' || (key === 'id' && typeof value === 'string') ? undefined : value,
  ) as object;
}

const ajv = new Ajv({ strict: false, validateFormats: false });
const isJams = ajv.compile(read('jams_schema.json'));
const isObservation = new Map(
  NAMESPACES.map((file) => {
    const [name, { value, confidence }] = Object.entries(read(`namespaces/${file}.json`))[0] as [
      string,
      { value: object; confidence?: object },
    ];
    const properties = { value, ...(confidence ? { confidence } : {}) };
    return [name, ajv.compile({ type: 'object', properties, required: ['value'] })] as const;
  }),
);

/** What the published schemas of JAMS and of its namespaces have against a file; empty when it is valid. */
export function jamsFaults(file: unknown): string[] {
  if (!isJams(file)) return [`file: ${JSON.stringify(isJams.errors)}`];
  return (file as Jams).annotations.flatMap(({ namespace, data }) => {
    const isValid = isObservation.get(namespace);
    if (!isValid) return [`no schema for ${namespace}`];
    return data.filter((item) => !isValid(item)).map((item) => `${namespace} ${JSON.stringify(item)}`);
  });
}
