// The files that the rules look at: those that git knows or would take, read once.
import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

const binary = /\.(woff2?|png|jpe?g|ico|wasm|pdf|gz|sqlite|penstock)$/;

export class Tree {
  /** @param {string} root  @param {string[]} paths  @param {(path: string) => string} read */
  constructor(root, paths, read) {
    this.root = root;
    this.paths = [...paths].sort();
    this.known = new Set(this.paths);
    this.reader = read;
    this.texts = new Map();
  }

  /** The files of a work tree, ignored ones left out. */
  static ofGit(root) {
    const out = execFileSync('git', ['-c', 'safe.directory=*', 'ls-files', '-z', '-co', '--exclude-standard'], {
      cwd: root,
      encoding: 'utf8',
      maxBuffer: 1 << 26,
    });
    const paths = out.split('\0').filter((path) => path !== '' && existsSync(join(root, path)));
    return new Tree(root, [...new Set(paths)], (path) => readFileSync(join(root, path), 'utf8'));
  }

  /** A tree for tests: path to text. */
  static of(files) {
    return new Tree('', Object.keys(files), (path) => files[path]);
  }

  /** Paths for which `test` (a regular expression) holds. */
  match(test) {
    return this.paths.filter((path) => test.test(path));
  }

  text(path) {
    if (!this.texts.has(path)) this.texts.set(path, binary.test(path) ? '' : this.reader(path));
    return this.texts.get(path);
  }

  lines(path) {
    return this.text(path).split('\n');
  }

  has(path) {
    return this.known.has(path);
  }

  /** Whether a file, a folder or a pattern with stars names anything here. */
  names(path) {
    const plain = path.replace(/\/$/, '');
    if (this.known.has(plain)) return true;
    if (plain.includes('*')) {
      const pattern = new RegExp('^' + plain.replace(/[.+^${}()|[\]\\?]/g, '\\$&').replaceAll('*', '[^/]*') + '(/|$)');
      return this.paths.some((known) => pattern.test(known));
    }
    return this.paths.some((known) => known.startsWith(plain + '/'));
  }
}

/** One broken rule at one place. */
export function finding(file, line, text) {
  return { file, line, text };
}
