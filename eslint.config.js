import tseslint from 'typescript-eslint';

// What owns listeners, timers and frames, and ends them.
const owners = [
  'src/app/kit/{focus,owners,play-clock,signal-element,file-drop}.ts',
  'src/app/shell/shortcuts/{key-dispatch,keyboard}.ts',
  'src/app/practice/{media-keys,wake-lock}.ts',
  'src/app/map/recording-view/close-up-pointer.ts',
];

export default tseslint.config(
  {
    ignores: ['**/*.d.ts', 'dist/**', 'node_modules/**', '.cache/**', 'src/training/**', 'src/text/generated/**'],
  },
  {
    files: ['src/**/*.ts', 'tests/**/*.ts', 'worklets/**/*.ts'],
    extends: [tseslint.configs.base],
    languageOptions: { parserOptions: { projectService: true, tsconfigRootDir: import.meta.dirname } },
    rules: {
      '@typescript-eslint/no-floating-promises': 'error',
      '@typescript-eslint/no-misused-promises': ['error', { checksVoidReturn: false }],
      '@typescript-eslint/no-explicit-any': 'error',
      '@typescript-eslint/switch-exhaustiveness-check': ['error', { considerDefaultExhaustiveForUnions: true }],
      'no-restricted-exports': ['error', { restrictDefaultExports: { direct: true } }],
      eqeqeq: 'error',
      'prefer-const': 'error',
      'no-console': 'error',
    },
  },
  {
    // Listeners, timers and frames have one owner that ends them.
    files: ['src/app/**/*.ts'],
    ignores: owners,
    rules: {
      'no-restricted-globals': ['error', 'setTimeout', 'setInterval', 'requestAnimationFrame', 'addEventListener'],
      'no-restricted-syntax': [
        'error',
        {
          selector: "CallExpression[callee.property.name='addEventListener']",
          message: 'Listen through a controller that ends the listener.',
        },
      ],
    },
  },
  {
    files: ['src/cli.ts', 'src/cli/**', 'tests/bench/**', 'tests/browser/**', 'tests/support/**'],
    rules: { 'no-console': 'off' },
  },
);
