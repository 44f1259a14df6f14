import tseslint from 'typescript-eslint';
import svelte from 'eslint-plugin-svelte';

const outsideTheCore = [
  'Date',
  'document',
  'window',
  'process',
  'fetch',
  'performance',
  'setTimeout',
  'setInterval',
  'console',
];

export default tseslint.config(
  { ignores: ['dist', 'dist-cli', 'node_modules', 'tests/breaches', '.cache', '.svelte-kit'] },
  ...tseslint.configs.recommended,
  ...svelte.configs['flat/recommended'],
  { files: ['**/*.svelte', '**/*.svelte.ts'], languageOptions: { parserOptions: { parser: tseslint.parser } } },
  {
    rules: {
      '@typescript-eslint/no-non-null-assertion': 'off',
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_', varsIgnorePattern: '^_' }],
      '@typescript-eslint/no-explicit-any': 'error',
      'prefer-const': ['error', { destructuring: 'all' }],
      eqeqeq: 'error',
    },
  },
  {
    files: ['shared/**/*.ts'],
    rules: {
      'no-restricted-globals': ['error', ...outsideTheCore],
      'no-restricted-properties': [
        'error',
        { object: 'Math', property: 'random', message: 'The core draws from statistics/random.' },
      ],
    },
  },
);
