/** Becomes the owner of the folder named, says so on stdout and stays until it is killed or told to go. */
import { becomeOwner } from '../../../../electron/host/owner.ts';
import { testProgram } from '../test-program.ts';

const [folder = '', door] = process.argv.slice(2);
const show = async () => {
	process.stdout.write('show\n');
	return 'an address';
};
const owner = await becomeOwner({
	folder,
	door: 'browser',
	program: testProgram(),
	...(door === 'deaf' ? {} : { show }),
});
process.stdout.write(owner === null ? 'taken\n' : owner.ok ? 'owner\n' : `${owner.problem.code}\n`);
if (owner?.ok) {
	process.once('SIGTERM', () => void owner.value.close().then(() => process.exit(0)));
	setInterval(() => {}, 1000);
}
