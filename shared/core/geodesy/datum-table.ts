/**
 * Geodetic datums: name | ellipsoid (semi-major axis in metres, inverse flattening, name) | plain names that files use.
 * Indented below each, the published shifts to WGS 84: EPSG operation | its name | metres, arc seconds, parts per million
 * (position vector convention) | accuracy in metres | area of use (west south east north). Where several serve one datum, the
 * first whose area holds the file counts, so narrow areas stand before wide ones.
 * Source: EPSG geodetic parameter dataset as carried by PROJ 9.5.1; the best operations that need no grid file.
 */
export const shiftedDatums = `
OSGB36 | 6377563.396 299.3249646 Airy 1830 | ordnancesurveyofgreatbritain1936 osgb36 osgb1936
	1314 | OSGB36 to WGS 84 (6) | 446.448 -125.157 542.06 0.15 0.247 0.842 -20.489 | 2 | -8.82 49.79 1.92 60.94
Amersfoort | 6377397.155 299.1528128 Bessel 1841 | amersfoort
	4833 | Amersfoort to WGS 84 (4) | 565.4171 50.3319 465.5524 -0.398957388 0.343987817 -1.87740164 4.0725 | 1 | 3.2 50.75 7.22 53.7
MGI | 6377397.155 299.1528128 Bessel 1841 | militargeographischeinstitut mgi
	1618 | MGI to WGS 84 (3) | 577.326 90.129 463.919 5.137 1.474 5.297 2.4232 | 1.5 | 9.53 46.4 17.17 49.02
MGI 1901 | 6377397.155 299.1528128 Bessel 1841 | mgi1901
	8688 | MGI 1901 to WGS 84 (16) | 476.08 125.947 417.81 4.610862 2.388137 -11.942335 9.896638 | 1 | 13.38 45.42 16.61 46.88
	3964 | MGI 1901 to WGS 84 (4) | 551.7 162.9 467.9 6.04 1.96 -11.38 -4.82 | 1 | 13.43 42.34 19.43 46.54
	8823 | MGI 1901 to WGS 84 (13) | 489.88 183.912 533.711 5.76545 4.69994 -12.58211 1.00646 | 1 | 15.74 42.56 19.62 45.27
	9486 | MGI 1901 to WGS 84 (15) | 577.84843 165.45019 390.43652 4.93131 -0.96052 -13.05072 7.86546 | 1 | 18.81 42.23 23.01 46.19
	6206 | MGI 1901 to WGS 84 (10) | 521.748 229.489 590.921 4.029 4.488 -15.521 -9.78 | 2 | 20.45 40.85 23.04 42.36
	3962 | MGI 1901 to WGS 84 (1) | 682 -203 480 | 5 | 13.38 40.85 23.04 46.88
BD72 | 6378388 297 International 1924 | reseaunationalbelge1972 bd72 belge1972
	15929 | BD72 to WGS 84 (3) | -106.8686 52.2978 -103.7239 0.3366 -0.457 1.8422 -1.2747 | 1 | 2.5 49.5 6.4 51.51
DHDN | 6377397.155 299.1528128 Bessel 1841 | deutscheshauptdreiecksnetz dhdn
	1777 | DHDN to WGS 84 (2) | 598.1 73.7 418.2 0.202 0.045 -2.455 6.7 | 3 | 5.86 47.27 13.84 55.09
CH1903 | 6377397.155 299.1528128 Bessel 1841 | ch1903
	1766 | CH1903 to WGS 84 (2) | 674.374 15.056 405.346 | 1.5 | 5.96 45.82 10.49 47.81
CH1903+ | 6377397.155 299.1528128 Bessel 1841 | ch1903plus
	1676 | CH1903+ to WGS 84 (1) | 674.374 15.056 405.346 | 1 | 5.96 45.82 10.49 47.81
NAD27 | 6378206.4 294.9786982138982 Clarke 1866 | northamericandatum1927 nad27 northamerican1927
	1173 | NAD27 to WGS 84 (4) | -8 160 176 | 10 | -124.79 24.41 -66.91 49.38
	1176 | NAD27 to WGS 84 (7) | -5 135 172 | 12 | -168.26 54.34 -129.99 71.4
	1180 | NAD27 to WGS 84 (11) | -9 157 184 | 12 | -102 41.67 -74.35 60.01
	1181 | NAD27 to WGS 84 (12) | -22 160 190 | 9 | -79.85 43.41 -52.54 62.62
	1182 | NAD27 to WGS 84 (13) | 4 159 188 | 8 | -136.46 49 -60.72 83.17
	1179 | NAD27 to WGS 84 (10) | -7 162 188 | 13 | -139.04 48.25 -109.98 60.01
	1183 | NAD27 to WGS 84 (14) | -7 139 181 | 10 | -141.01 59.99 -123.91 69.7
	1172 | NAD27 to WGS 84 (3) | -10 158 187 | 20 | -141.01 40 -44 83.17
	1187 | NAD27 to WGS 84 (18) | -12 130 190 | 12 | -118.47 14.51 -86.68 32.72
	1171 | NAD27 to WGS 84 (2) | 0 125 194 | 10 | -92.29 7.98 -82.53 18.49
	1170 | NAD27 to WGS 84 (1) | -3 142 183 | 16 | -85.01 13 -59.37 23.25
S-JTSK | 6377397.155 299.1528128 Bessel 1841 | systemoftheunifiedtrigonometricalcadastralnetwork sjtsk
	5239 | S-JTSK to WGS 84 (5) | 572.213 85.334 461.94 4.9732 1.529 5.2484 3.5378 | 1 | 12.09 48.58 18.86 51.06
	4836 | S-JTSK to WGS 84 (4) | 485 169.5 483.8 7.786 4.398 4.103 0 | 1 | 16.84 47.73 22.56 49.61
	15965 | S-JTSK to WGS 84 (3) | 589 76 480 | 6 | 12.09 47.73 22.56 51.06
S-JTSK/05 | 6377397.155 299.1528128 Bessel 1841 | systemoftheunifiedtrigonometricalcadastralnetwork05 sjtsk05
	5227 | S-JTSK/05 to WGS 84 (1) | 572.213 85.334 461.94 4.9732 1.529 5.2484 3.5378 | 1 | 12.09 48.58 18.86 51.06
ED50 | 6378388 297 International 1924 | europeandatum1950 ed50 european1950
	1627 | ED50 to WGS 84 (25) | -81.1 -89.4 -115.8 0.485 0.024 0.413 -0.54 | 1 | 7.98 54.5 15.28 57.81
	1989 | ED50 to WGS 84 (34) | -74.292 -135.889 -104.967 -0.524 -0.136 0.61 -3.761 | 1 | -9.56 36.95 -6.19 42.16
	1145 | ED50 to WGS 84 (13) | -84 -107 -120 | 9 | -9.56 35.26 3.39 43.82
	1275 | ED50 to WGS 84 (17) | -84 -97 -117 | 2 | -9.86 41.15 10.38 51.56
	1139 | ED50 to WGS 84 (7) | -87 -95 -120 | 7 | 4.39 57.9 31.59 71.24
	1784 | ED50 to WGS 84 (30) | -84.1 -101.8 -129.7 0 0 0.468 1.05 | 2 | 25.62 34.42 44.83 43.45
	1133 | ED50 to WGS 84 (1) | -87 -98 -121 | 10 | -9.56 34.88 31.59 71.24
TM65 | 6377340.189 299.3249646 Airy Modified 1849 | tm65
	1641 | TM65 to WGS 84 (2) | 482.5 -130.6 564.6 -1.042 -0.214 -0.631 8.15 | 1 | -10.56 51.39 -5.34 55.43
TM75 | 6377340.189 299.3249646 Airy Modified 1849 | geodeticdatumof1965 tm75
	1954 | TM75 to WGS 84 (2) | 482.5 -130.6 564.6 -1.042 -0.214 -0.631 8.15 | 1 | -10.56 51.39 -5.34 55.43
OSNI 1952 | 6377563.396 299.3249646 Airy 1830 | osni1952
	1955 | OSNI 1952 to WGS 84 (1) | 482.5 -130.6 564.6 -1.042 -0.214 -0.631 8.15 | 1 | -8.18 53.96 -5.34 55.36
Pulkovo 1942 | 6378245 298.3 Krassowsky 1940 | pulkovo1942
	6899 | Pulkovo 1942 to WGS 84 (21) | 22 -126 -85 | 5 | 21.74 57.52 28.2 59.75
	1290 | Pulkovo 1942 to WGS 84 (6) | 24 -124 -82 | 4 | 20.87 55.67 28.24 58.09
	1679 | Pulkovo 1942 to WGS 84 (2) | -40.595 -18.55 -69.339 2.508 1.832 -2.611 -4.299 | 9 | 20.86 53.89 26.82 56.45
	15865 | Pulkovo 1942 to WGS 84 (16) | 25 -141 -78.5 0 0.35 0.736 0 | 4.5 | 19.57 35.14 -168.97 81.91
	5044 | Pulkovo 1942 to WGS 84 (20) | 23.57 -140.95 -79.8 0 0.35 0.79 -0.22 | 3 | 19.58 41.19 -168.97 81.91
Pulkovo 1942(83) | 6378245 298.3 Krassowsky 1940 | pulkovo194283 pulkovo1942adj1983
	1675 | Pulkovo 1942(83) to WGS 84 (1) | 24 -123 -94 0.02 -0.25 -0.13 1.1 | 2 | 9.92 50.2 15.04 54.74
	15998 | Pulkovo 1942(83) to WGS 84 (5) | 26 -121 -78 | 5 | 12.09 47.73 22.56 51.06
	15996 | Pulkovo 1942(83) to WGS 84 (3) | 28 -121 -77 | 4 | 16.11 45.74 22.9 48.58
Pulkovo 1942(58) | 6378245 298.3 Krassowsky 1940 | pulkovo194258 pulkovo1942adj1958
	15995 | Pulkovo 1942(58) to WGS 84 (19) | 2.329 -147.042 -92.08 -0.309 0.325 0.497 5.69 | 3 | 20.26 43.44 31.41 48.27
	1645 | Pulkovo 1942(58) to WGS 84 (1) | 33.4 -146.6 -76.3 -0.359 -0.053 0.844 -0.84 | 1 | 14.14 49 24.15 54.89
	15999 | Pulkovo 1942(58) to WGS 84 (8) | 24 -130 -92 | 6 | 19.22 39.64 21.06 42.67
Pulkovo 1995 | 6378245 298.3 Krassowsky 1940 | pulkovo1995
	5043 | Pulkovo 1995 to WGS 84 (2) | 24.47 -130.89 -81.56 0 0 0.13 -0.22 | 1 | 18.92 39.87 -168.97 85.19
UCS-2000 | 6378245 298.3 Krassowsky 1940 | ukraine2000 ucs2000
	5840 | UCS-2000 to WGS 84 (2) | 24 -121 -76 | 1 | 22.15 43.18 40.18 52.38
NTF | 6378249.2 293.4660212936269 Clarke 1880 (IGN) | nouvelletriangulationfrancaise ntf nouvelletriangulationfrancaiseparis ntfparis
	1193 | NTF to WGS 84 (1) | -168 -60 320 | 2 | -4.87 41.31 9.63 51.14
Monte Mario | 6378388 297 International 1924 | montemario montemariorome
	1660 | Monte Mario to WGS 84 (4) | -104.1 -49.1 -9.9 0.971 -2.917 0.714 -11.68 | 4 | 6.62 37.86 18.58 47.1
	1664 | Monte Mario to WGS 84 (3) | -50.2 -50.4 84.8 -0.69 -2.012 0.459 -28.08 | 4 | 12.36 36.59 15.71 38.35
	1662 | Monte Mario to WGS 84 (2) | -168.6 -34 38.6 -0.374 -0.679 -1.379 -9.48 | 4 | 8.08 38.82 9.89 41.31
RT90 | 6377397.155 299.1528128 Bessel 1841 | riketskoordinatsystem1990 rt90 rt1990
	1896 | RT90 to WGS 84 (2) | 414.1 41.3 603.1 -0.855 2.141 -7.023 0 | 1 | 10.03 54.96 24.17 69.07
Datum 73 | 6378388 297 International 1924 | datum73
	1987 | Datum 73 to WGS 84 (4) | -239.749 88.181 30.488 0.263 0.082 1.211 2.229 | 1 | -9.56 36.95 -6.19 42.16
Lisbon | 6378388 297 International 1924 | lisbon1937 lisbon
	1988 | Lisbon to WGS 84 (4) | -288.885 -91.744 126.244 -1.691 0.41 -0.211 -4.598 | 2 | -9.56 36.95 -6.19 42.16
GGRS87 | 6378137 298.257222101 GRS 1980 | greekgeodeticreferencesystem1987 ggrs87 ggrs1987
	1272 | GGRS87 to WGS 84 (1) | -199.87 74.79 246.62 | 1 | 19.57 34.88 28.3 41.75
HD72 | 6378160 298.247167427 GRS 1967 | hungariandatum1972 hd72 hungarian1972
	1242 | HD72 to WGS 84 (4) | 52.17 -71.82 -14.9 | 1 | 16.11 45.74 22.9 48.58
KKJ | 6378388 297 International 1924 | kartastokoordinaattijarjestelma1966 kkj
	10099 | KKJ to WGS 84 (2) | -96.062 -82.428 -121.753 4.801 0.345 -1.376 1.496 | 1 | 19.24 59.75 31.59 70.09
NGO 1948 | 6377492.018 299.1528128 Bessel Modified | ngo1948
	1654 | NGO 1948 to WGS 84 (1) | 278.3 93 474.5 7.889 0.05 -6.61 6.21 | 3 | 4.39 57.9 31.32 71.24
NZGD49 | 6378388 297 International 1924 | newzealandgeodeticdatum1949 nzgd49 newzealand1949
	1564 | NZGD49 to WGS 84 (2) | 59.47 -5.04 187.44 0.47 -0.1 1.024 -4.5993 | 4 | 165.87 -47.65 179.27 -33.89
AGD66 | 6378160 298.25 Australian National Spheroid | australiangeodeticdatum1966 agd66 australian1966
	15788 | AGD66 to WGS 84 (16) | -127.8 -52.3 152.9 | 5 | 112.85 -43.7 153.69 -9.86
AGD84 | 6378160 298.25 Australian National Spheroid | australiangeodeticdatum1984 agd84 australian1984
	1669 | AGD84 to WGS 84 (7) | -117.763 -51.51 139.061 0.292 0.443 0.277 -0.191 | 3 | 109.23 -38.53 153.61 -9.37
SAD69 | 6378160 298.25 GRS 1967 Modified | southamericandatum1969 sad69 southamerican1969
	5882 | SAD69 to WGS 84 (16) | -67.35 3.88 -38.22 | 5 | -74.01 -35.71 -25.28 7.04
	1865 | SAD69 to WGS 84 (2) | -62 -1 -37 | 9 | -73.59 -52.43 -53.65 -21.78
	1864 | SAD69 to WGS 84 (1) | -57 1 -41 | 19 | -81.41 -45 -34.74 12.52
Corrego Alegre 1970-72 | 6378388 297 International 1924 | corregoalegre197072 corregoalegre
	6194 | Corrego Alegre 1970-72 to WGS 84 (4) | -206.05 168.28 -3.82 | 5 | -58.16 -33.78 -34.74 -2.68
Cape | 6378249.145 293.4663077 Clarke 1880 (Arc) | cape
	1128 | Cape to WGS 84 (1) | -136 -108 -292 | 9 | 16.45 -34.88 32.95 -22.13
Arc 1950 | 6378249.145 293.4663077 Clarke 1880 (Arc) | arc1950
	1114 | Arc 1950 to WGS 84 (2) | -138 -105 -289 | 7 | 19.99 -26.88 29.38 -17.78
	6906 | Arc 1950 to WGS 84 (10) | -145 -97 -292 | 17 | 25.23 -22.42 33.08 -15.61
	1113 | Arc 1950 to WGS 84 (1) | -143 -90 -294 | 44 | 19.99 -30.66 35.93 -8.19
Arc 1960 | 6378249.145 293.465 Clarke 1880 (RGS) | arc1960
	1284 | Arc 1960 to WGS 84 (2) | -157 -2 -299 | 6 | 33.9 -4.72 41.91 4.63
	1285 | Arc 1960 to WGS 84 (3) | -175 -23 -303 | 15 | 29.34 -11.75 40.48 -0.99
	1122 | Arc 1960 to WGS 84 (1) | -160 -6 -302 | 35 | 29.34 -11.75 41.91 4.63
Tokyo | 6377397.155 299.1528128 Bessel 1841 | tokyo
	15484 | Tokyo to WGS 84 (108) | -146.414 507.337 680.507 | 9 | 122.83 20.37 154.05 45.54
`;

/**
 * Datums that need no shift: fixed to a plate and within 1 to 4 m of WGS 84 (EPSG "to WGS 84" operations of zero), which
 * leaves the area of a field as it is.
 */
export const datumsLikeWgs84 = `
WGS 84 | 6378137 298.257223563 WGS 84 | worldgeodeticsystem1984ensemble worldgeodeticsystem1984 wgs84 wgs1984
ETRS89 | 6378137 298.257222101 GRS 1980 | europeanterrestrialreferencesystem1989ensemble europeanterrestrialreferencesystem1989 etrs89 etrs1989 eureffin etrf89 etrf2000 euref89
NAD83 | 6378137 298.257222101 GRS 1980 | northamericandatum1983 nad83 northamerican1983 nad83highaccuracyreferencenetwork nad83harn northamerican1983harn nad83nationalspatialreferencesystem2007 nad83nsrs2007 nad1983nsrs2007 nad83nationalspatialreferencesystem2011 nad832011 nad19832011 nad83continuouslyoperatingreferencestation1996 nad83cors96 nad1983cors96 nad83canadianspatialreferencesystem nad83csrs northamerican1983csrs northamericandatum1983csrs
RGF93 | 6378137 298.257222101 GRS 1980 | reseaugeodesiquefrancais1993v1 rgf93v1 rgf1993 reseaugeodesiquefrancais1993v2 rgf93v2 reseaugeodesiquefrancais1993v2b rgf93v2b reseaugeodesiquefrancais1993 rgf93
ETRF2000-PL | 6378137 298.257222101 GRS 1980 | etrf2000poland etrf2000pl
SWEREF99 | 6378137 298.257222101 GRS 1980 | sweref99
IRENET95 | 6378137 298.257222101 GRS 1980 | irenet95
Slovenia 1996 | 6378137 298.257222101 GRS 1980 | sloveniageodeticdatum1996 slovenia1996
HTRS96 | 6378137 298.257222101 GRS 1980 | croatianterrestrialreferencesystem htrs96
LKS94 | 6378137 298.257222101 GRS 1980 | lithuania1994etrs89 lks94 lithuania1994
LKS92 | 6378137 298.257222101 GRS 1980 | latviangeodeticcoordinatesystem1992 lks92 latvia1992
EST97 | 6378137 298.257222101 GRS 1980 | estonia1997 est97
RDN2008 | 6378137 298.257222101 GRS 1980 | retedinamicanazionale2008 rdn2008
IGM95 | 6378137 298.257222101 GRS 1980 | istitutogeograficomilitaire1995 igm95 igm1995
CHTRF95 | 6378137 298.257222101 GRS 1980 | swissterrestrialreferencesystem1995 chtrs95 swisstrf1995
BGS2005 | 6378137 298.257222101 GRS 1980 | bulgariageodeticsystem2005 bgs2005
ISN93 | 6378137 298.257222101 GRS 1980 | islandsnet1993 isn93 islandsnetwork1993
ISN2004 | 6378137 298.257222101 GRS 1980 | islandsnet2004 isn2004 islandsnetwork2004
REGCAN95 | 6378137 298.257222101 GRS 1980 | redgeodesicadecanarias1995 regcan95
GDA94 | 6378137 298.257222101 GRS 1980 | geocentricdatumofaustralia1994 gda94 gda1994
GDA2020 | 6378137 298.257222101 GRS 1980 | geocentricdatumofaustralia2020 gda2020
NZGD2000 | 6378137 298.257222101 GRS 1980 | newzealandgeodeticdatum2000 nzgd2000
SIRGAS 2000 | 6378137 298.257222101 GRS 1980 | sistemadereferenciageocentricoparalasamericas2000 sirgas2000
SIRGAS 1995 | 6378137 298.257222101 GRS 1980 | sistemadereferenciageocentricoparaamericadelsur1995 sirgas1995 sirgas
POSGAR 94 | 6378137 298.257223563 WGS 84 | posicionesgeodesicasargentinas1994 posgar94 posgar1994
POSGAR 98 | 6378137 298.257222101 GRS 1980 | posicionesgeodesicasargentinas1998 posgar98 posgar1998
POSGAR 2007 | 6378137 298.257223563 WGS 84 | posicionesgeodesicasargentinas2007 posgar2007
MAGNA-SIRGAS | 6378137 298.257222101 GRS 1980 | marcogeocentriconacionaldereferencia magnasirgas magna
Peru96 | 6378137 298.257222101 GRS 1980 | peru96
SIRGAS-Chile 2002 | 6378137 298.257222101 GRS 1980 | sirgaschilerealization1epoch2002 sirgaschile2002
Mexico ITRF92 | 6378137 298.257222101 GRS 1980 | mexicoitrf92 mexicandatumof1993
Mexico ITRF2008 | 6378137 298.257222101 GRS 1980 | mexicoitrf2008
JGD2000 | 6378137 298.257222101 GRS 1980 | japanesegeodeticdatum2000 jgd2000
JGD2011 | 6378137 298.257222101 GRS 1980 | japanesegeodeticdatum2011 jgd2011
Korea 2000 | 6378137 298.257222101 GRS 1980 | koreangeodeticdatum2002 kgd2002 koreageodeticdatum2002
CGCS2000 | 6378137 298.257222101 CGCS2000 | china2000 chinageodeticcoordinatesystem2000
Hartebeesthoek94 | 6378137 298.257223563 WGS 84 | hartebeesthoek94 hartebeesthoek1994
DGN95 | 6378137 298.257223563 WGS 84 | datumgeodesinasional1995 dgn95
`;
