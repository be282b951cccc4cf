/** Type-checks every folder with its own tsconfig: each sees only the names its run-time has. What is known stays in `build/types`. */
import { spawnSync } from 'node:child_process';

const tsc = 'node_modules/typescript/bin/tsc';
const folders = ['shared', 'db', 'electron', 'renderer', 'tests'];
const failed = folders.filter((folder) => {
	const known = ['--incremental', '--tsBuildInfoFile', `build/types/${folder}.json`];
	const run = spawnSync(process.execPath, [tsc, '-p', folder, ...known], { stdio: 'inherit' });
	return run.status !== 0;
});
if (failed.length > 0) console.error(`types: failed in ${failed.join(', ')}`);
process.exitCode = failed.length > 0 ? 1 : 0;
