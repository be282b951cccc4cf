export function SprayersPage() {
	return null;
}
