export function StorePage() {
	return null;
}
