/**
 * Reference systems that field registers and advisers use, by EPSG code. UTM zones are computed in reference-system.ts.
 * One line each: code | name | datum | projection and its terms (degrees, metres; coordinates in feet are marked ft or
 * ftUS) | area of use (west south east north).
 * Source: EPSG geodetic parameter dataset as carried by PROJ 9.5.1.
 */
export const epsgTable = `
4326 | WGS 84 | WGS 84 | longlat | -180 -90 180 90
4258 | ETRS89 | ETRS89 | longlat | -16.1 33.26 38.01 84.73
4269 | NAD83 | NAD83 | longlat | 167.65 14.92 -40.73 86.45
4267 | NAD27 | NAD27 | longlat | 167.65 7.15 -47.74 83.17
4277 | OSGB36 | OSGB36 | longlat | -9.01 49.75 2.01 61.01
4289 | Amersfoort | Amersfoort | longlat | 3.2 50.75 7.22 53.7
4312 | MGI | MGI | longlat | 9.53 46.4 17.17 49.02
4313 | BD72 | BD72 | longlat | 2.5 49.5 6.4 51.51
4314 | DHDN | DHDN | longlat | 5.86 47.27 13.84 55.09
4149 | CH1903 | CH1903 | longlat | 5.96 45.82 10.49 47.81
4150 | CH1903+ | CH1903+ | longlat | 5.96 45.82 10.49 47.81
4156 | S-JTSK | S-JTSK | longlat | 12.09 47.73 22.56 51.06
4230 | ED50 | ED50 | longlat | -16.1 25.71 48.61 84.73
4171 | RGF93 v1 | RGF93 | longlat | -9.86 41.15 10.38 51.56
4619 | SWEREF99 | SWEREF99 | longlat | 10.03 54.96 24.17 69.07
4283 | GDA94 | GDA94 | longlat | 93.41 -60.55 173.34 -8.47
7844 | GDA2020 | GDA2020 | longlat | 93.41 -60.55 173.34 -8.47
4167 | NZGD2000 | NZGD2000 | longlat | 160.6 -55.95 -171.2 -25.88
4674 | SIRGAS 2000 | SIRGAS 2000 | longlat | -122.19 -59.87 -25.28 32.72
4275 | NTF | NTF | longlat | -4.87 41.31 9.63 51.14
4265 | Monte Mario | Monte Mario | longlat | 5.93 34.76 18.99 47.1
4618 | SAD69 | SAD69 | longlat | -91.72 -55.96 -25.28 12.52
4237 | HD72 | HD72 | longlat | 16.11 45.74 22.9 48.58
4284 | Pulkovo 1942 | Pulkovo 1942 | longlat | 19.57 35.14 -168.97 81.91
4178 | Pulkovo 1942(83) | Pulkovo 1942(83) | longlat | 9.92 41.24 28.68 54.74
4179 | Pulkovo 1942(58) | Pulkovo 1942(58) | longlat | 9.92 39.63 31.41 54.89
4617 | NAD83(CSRS) | NAD83 | longlat | -141.01 38.21 -40.73 86.46
6318 | NAD83(2011) | NAD83 | longlat | 167.65 14.92 -63.88 74.71
4152 | NAD83(HARN) | NAD83 | longlat | 144.58 -14.59 -64.51 71.4
4759 | NAD83(NSRS2007) | NAD83 | longlat | 167.65 14.92 -63.88 74.71
4612 | JGD2000 | JGD2000 | longlat | 122.38 17.09 157.65 46.05
6668 | JGD2011 | JGD2011 | longlat | 122.38 17.09 157.65 46.05
4490 | China Geodetic Coordinate System 2000 | CGCS2000 | longlat | 73.62 16.7 134.77 53.56
4148 | Hartebeesthoek94 | Hartebeesthoek94 | longlat | 13.33 -50.32 42.85 -22.13
4299 | TM65 | TM65 | longlat | -10.56 51.39 -5.34 55.43
4300 | TM75 | TM75 | longlat | -10.56 51.39 -5.34 55.43
4124 | RT90 | RT90 | longlat | 10.03 54.96 24.17 69.07
27700 | OSGB36 / British National Grid | OSGB36 | tmerc lat_0=49 lon_0=-2 k_0=0.9996012717 x_0=400000 y_0=-100000 | -9.01 49.75 2.01 61.01
29902 | TM65 / Irish Grid | TM65 | tmerc lat_0=53.5 lon_0=-8 k_0=1.000035 x_0=200000 y_0=250000 | -10.56 51.39 -5.93 55.43
29903 | TM75 / Irish Grid | TM75 | tmerc lat_0=53.5 lon_0=-8 k_0=1.000035 x_0=200000 y_0=250000 | -10.56 51.39 -5.34 55.43
2157 | IRENET95 / Irish Transverse Mercator | IRENET95 | tmerc lat_0=53.5 lon_0=-8 k_0=0.99982 x_0=600000 y_0=750000 | -10.56 51.39 -5.34 55.43
28992 | Amersfoort / RD New | Amersfoort | sterea lat_0=52.1561605555556 lon_0=5.38763888888889 k_0=0.9999079 x_0=155000 y_0=463000 | 3.2 50.75 7.22 53.7
28991 | Amersfoort / RD Old | Amersfoort | sterea lat_0=52.1561605555556 lon_0=5.38763888888889 k_0=0.9999079 x_0=0 y_0=0 | 3.2 50.75 7.22 53.7
31370 | BD72 / Belgian Lambert 72 | BD72 | lcc lat_0=90 lon_0=4.36748666666667 lat_1=51.1666672333333 lat_2=49.8333339 x_0=150000.013 y_0=5400088.438 | 2.5 49.5 6.4 51.51
3812 | ETRS89 / Belgian Lambert 2008 | ETRS89 | lcc lat_0=50.797815 lon_0=4.35921583333333 lat_1=49.8333333333333 lat_2=51.1666666666667 x_0=649328 y_0=665262 | 2.5 49.5 6.4 51.51
31287 | MGI / Austria Lambert | MGI | lcc lat_0=47.5 lon_0=13.3333333333333 lat_1=49 lat_2=46 x_0=400000 y_0=400000 | 9.53 46.4 17.17 49.02
31254 | MGI / Austria GK West | MGI | tmerc lat_0=0 lon_0=10.3333333333333 k_0=1 x_0=0 y_0=-5000000 | 9.53 46.77 11.84 47.61
31255 | MGI / Austria GK Central | MGI | tmerc lat_0=0 lon_0=13.3333333333333 k_0=1 x_0=0 y_0=-5000000 | 11.83 46.4 14.84 48.79
31256 | MGI / Austria GK East | MGI | tmerc lat_0=0 lon_0=16.3333333333333 k_0=1 x_0=0 y_0=-5000000 | 14.83 46.56 17.17 49.02
31257 | MGI / Austria GK M28 | MGI | tmerc lat_0=0 lon_0=10.3333333333333 k_0=1 x_0=150000 y_0=-5000000 | 9.53 46.77 11.84 47.61
31258 | MGI / Austria GK M31 | MGI | tmerc lat_0=0 lon_0=13.3333333333333 k_0=1 x_0=450000 y_0=-5000000 | 11.83 46.4 14.84 48.79
31259 | MGI / Austria GK M34 | MGI | tmerc lat_0=0 lon_0=16.3333333333333 k_0=1 x_0=750000 y_0=-5000000 | 14.83 46.56 17.17 49.02
31466 | DHDN / 3-degree Gauss-Kruger zone 2 | DHDN | tmerc lat_0=0 lon_0=6 k_0=1 x_0=2500000 y_0=0 | 5.86 49.11 7.51 53.81
31467 | DHDN / 3-degree Gauss-Kruger zone 3 | DHDN | tmerc lat_0=0 lon_0=9 k_0=1 x_0=3500000 y_0=0 | 7.5 47.27 10.51 55.09
31468 | DHDN / 3-degree Gauss-Kruger zone 4 | DHDN | tmerc lat_0=0 lon_0=12 k_0=1 x_0=4500000 y_0=0 | 10.5 47.39 13.51 54.59
31469 | DHDN / 3-degree Gauss-Kruger zone 5 | DHDN | tmerc lat_0=0 lon_0=15 k_0=1 x_0=5500000 y_0=0 | 13.5 48.51 13.84 48.98
4647 | ETRS89 / UTM zone 32N (zE-N) | ETRS89 | tmerc lat_0=0 lon_0=9 k_0=0.9996 x_0=32500000 y_0=0 | 6 47.27 12.01 55.47
5649 | ETRS89 / UTM zone 31N (zE-N) | ETRS89 | tmerc lat_0=0 lon_0=3 k_0=0.9996 x_0=31500000 y_0=0 | 3.34 50.97 6.01 55.92
5650 | ETRS89 / UTM zone 33N (zE-N) | ETRS89 | tmerc lat_0=0 lon_0=15 k_0=0.9996 x_0=33500000 y_0=0 | 11.57 47.46 15.04 55.03
2398 | Pulkovo 1942(83) / 3-degree Gauss-Kruger zone 4 | Pulkovo 1942(83) | tmerc lat_0=0 lon_0=12 k_0=1 x_0=4500000 y_0=0 | 10.5 48.97 13.5 54.74
2399 | Pulkovo 1942(83) / 3-degree Gauss-Kruger zone 5 | Pulkovo 1942(83) | tmerc lat_0=0 lon_0=15 k_0=1 x_0=5500000 y_0=0 | 13.5 46.54 16.5 54.72
2056 | CH1903+ / LV95 | CH1903+ | somerc lat_0=46.9524055555556 lon_0=7.43958333333333 k_0=1 x_0=2600000 y_0=1200000 | 5.96 45.82 10.49 47.81
21781 | CH1903 / LV03 | CH1903 | somerc lat_0=46.9524055555556 lon_0=7.43958333333333 k_0=1 x_0=600000 y_0=200000 | 5.96 45.82 10.49 47.81
2154 | RGF93 v1 / Lambert-93 | RGF93 | lcc lat_0=46.5 lon_0=3 lat_1=49 lat_2=44 x_0=700000 y_0=6600000 | -9.86 41.15 10.38 51.56
3942 | RGF93 v1 / CC42 | RGF93 | lcc lat_0=42 lon_0=3 lat_1=41.25 lat_2=42.75 x_0=1700000 y_0=1200000 | -1.06 41.31 9.63 43.07
3943 | RGF93 v1 / CC43 | RGF93 | lcc lat_0=43 lon_0=3 lat_1=42.25 lat_2=43.75 x_0=1700000 y_0=2200000 | -1.79 42.33 7.65 44.01
3944 | RGF93 v1 / CC44 | RGF93 | lcc lat_0=44 lon_0=3 lat_1=43.25 lat_2=44.75 x_0=1700000 y_0=3200000 | -1.79 42.92 7.71 45
3945 | RGF93 v1 / CC45 | RGF93 | lcc lat_0=45 lon_0=3 lat_1=44.25 lat_2=45.75 x_0=1700000 y_0=4200000 | -1.46 44 7.71 46
3946 | RGF93 v1 / CC46 | RGF93 | lcc lat_0=46 lon_0=3 lat_1=45.25 lat_2=46.75 x_0=1700000 y_0=5200000 | -2.21 45 7.16 47
3947 | RGF93 v1 / CC47 | RGF93 | lcc lat_0=47 lon_0=3 lat_1=46.25 lat_2=47.75 x_0=1700000 y_0=6200000 | -4.77 46 7.63 48
3948 | RGF93 v1 / CC48 | RGF93 | lcc lat_0=48 lon_0=3 lat_1=47.25 lat_2=48.75 x_0=1700000 y_0=7200000 | -4.87 47 8.23 49
3949 | RGF93 v1 / CC49 | RGF93 | lcc lat_0=49 lon_0=3 lat_1=48.25 lat_2=49.75 x_0=1700000 y_0=8200000 | -4.87 48 8.23 50
3950 | RGF93 v1 / CC50 | RGF93 | lcc lat_0=50 lon_0=3 lat_1=49.25 lat_2=50.75 x_0=1700000 y_0=9200000 | -2.03 49 8.08 51.14
27572 | NTF (Paris) / Lambert zone II | NTF | lcc lat_1=46.8 lat_0=46.8 lon_0=0 k_0=0.99987742 x_0=600000 y_0=2200000 pm=paris | -4.87 42.33 8.23 51.14
2180 | ETRF2000-PL / CS92 | ETRF2000-PL | tmerc lat_0=0 lon_0=19 k_0=0.9993 x_0=500000 y_0=-5300000 | 14.14 49 24.15 55.93
2176 | ETRF2000-PL / CS2000/15 | ETRF2000-PL | tmerc lat_0=0 lon_0=15 k_0=0.999923 x_0=5500000 y_0=0 | 14.14 50.26 16.5 55.35
2177 | ETRF2000-PL / CS2000/18 | ETRF2000-PL | tmerc lat_0=0 lon_0=18 k_0=0.999923 x_0=6500000 y_0=0 | 16.5 49.39 19.5 55.93
2178 | ETRF2000-PL / CS2000/21 | ETRF2000-PL | tmerc lat_0=0 lon_0=21 k_0=0.999923 x_0=7500000 y_0=0 | 19.5 49.09 22.5 54.55
2179 | ETRF2000-PL / CS2000/24 | ETRF2000-PL | tmerc lat_0=0 lon_0=24 k_0=0.999923 x_0=8500000 y_0=0 | 22.5 49 24.15 54.41
2171 | Pulkovo 1942(58) / Poland zone I | Pulkovo 1942(58) | sterea lat_0=50.625 lon_0=21.0833333333333 k_0=0.9998 x_0=4637000 y_0=5647000 | 18 49 24.15 52.34
2172 | Pulkovo 1942(58) / Poland zone II | Pulkovo 1942(58) | sterea lat_0=53.0019444444444 lon_0=21.5027777777778 k_0=0.9998 x_0=4603000 y_0=5806000 | 19 51.33 23.95 54.51
2173 | Pulkovo 1942(58) / Poland zone III | Pulkovo 1942(58) | sterea lat_0=53.5833333333333 lon_0=17.0083333333333 k_0=0.9998 x_0=3501000 y_0=5999000 | 14.14 52.16 20 54.89
2174 | Pulkovo 1942(58) / Poland zone IV | Pulkovo 1942(58) | sterea lat_0=51.6708333333333 lon_0=16.6722222222222 k_0=0.9998 x_0=3703000 y_0=5627000 | 14.14 49.39 19.09 53.34
3035 | ETRS89-extended / LAEA Europe | ETRS89 | laea lat_0=52 lon_0=10 x_0=4321000 y_0=3210000 | -35.58 24.6 44.83 84.73
3034 | ETRS89-extended / LCC Europe | ETRS89 | lcc lat_0=52 lon_0=10 lat_1=35 lat_2=65 x_0=4000000 y_0=2800000 | -35.58 24.6 44.83 84.73
5514 | S-JTSK / Krovak East North | S-JTSK | krovak lat_0=49.5 lon_0=24.8333333333333 alpha=30.2881397527778 k_0=0.9999 x_0=0 y_0=0 | 12.09 47.73 22.56 51.06
3006 | SWEREF99 TM | SWEREF99 | tmerc lat_0=0 lon_0=15 k_0=0.9996 x_0=500000 y_0=0 | 10.03 54.96 24.17 69.07
3007 | SWEREF99 12 00 | SWEREF99 | tmerc lat_0=0 lon_0=12 k_0=1 x_0=150000 y_0=0 | 10.93 56.74 13.11 60.13
3008 | SWEREF99 13 30 | SWEREF99 | tmerc lat_0=0 lon_0=13.5 k_0=1 x_0=150000 y_0=0 | 12.12 55.28 14.79 62.28
3009 | SWEREF99 15 00 | SWEREF99 | tmerc lat_0=0 lon_0=15 k_0=1 x_0=150000 y_0=0 | 13.54 55.95 16.15 61.62
3010 | SWEREF99 16 30 | SWEREF99 | tmerc lat_0=0 lon_0=16.5 k_0=1 x_0=150000 y_0=0 | 15.41 56.15 17.63 62.26
3011 | SWEREF99 18 00 | SWEREF99 | tmerc lat_0=0 lon_0=18 k_0=1 x_0=150000 y_0=0 | 17.08 58.66 19.61 60.7
3012 | SWEREF99 14 15 | SWEREF99 | tmerc lat_0=0 lon_0=14.25 k_0=1 x_0=150000 y_0=0 | 11.93 61.55 15.55 64.39
3013 | SWEREF99 15 45 | SWEREF99 | tmerc lat_0=0 lon_0=15.75 k_0=1 x_0=150000 y_0=0 | 13.66 60.44 17.01 65.13
3014 | SWEREF99 17 15 | SWEREF99 | tmerc lat_0=0 lon_0=17.25 k_0=1 x_0=150000 y_0=0 | 14.31 62.12 19.04 67.19
3015 | SWEREF99 18 45 | SWEREF99 | tmerc lat_0=0 lon_0=18.75 k_0=1 x_0=150000 y_0=0 | 17.18 56.86 20.22 66.17
3016 | SWEREF99 20 15 | SWEREF99 | tmerc lat_0=0 lon_0=20.25 k_0=1 x_0=150000 y_0=0 | 16.08 63.45 23.28 69.07
3017 | SWEREF99 21 45 | SWEREF99 | tmerc lat_0=0 lon_0=21.75 k_0=1 x_0=150000 y_0=0 | 19.63 65.01 22.91 66.43
3018 | SWEREF99 23 15 | SWEREF99 | tmerc lat_0=0 lon_0=23.25 k_0=1 x_0=150000 y_0=0 | 21.85 65.49 24.17 68.14
3021 | RT90 2.5 gon V | RT90 | tmerc lat_0=0 lon_0=15.8082777777778 k_0=1 x_0=1500000 y_0=0 | 13.66 55.95 17.73 67.18
3022 | RT90 0 gon | RT90 | tmerc lat_0=0 lon_0=18.0582777777778 k_0=1 x_0=1500000 y_0=0 | 16.08 56.86 20.22 68.54
3020 | RT90 5 gon V | RT90 | tmerc lat_0=0 lon_0=13.5582777777778 k_0=1 x_0=1500000 y_0=0 | 11.81 55.28 15.44 64.39
3067 | ETRS89 / TM35FIN(E,N) | ETRS89 | tmerc lat_0=0 lon_0=27 k_0=0.9996 x_0=500000 y_0=0 | 19.08 58.84 31.59 70.09
3873 | ETRS89 / GK19FIN | ETRS89 | tmerc lat_0=0 lon_0=19 k_0=1 x_0=19500000 y_0=0 | 19.24 60.08 19.5 60.34
3874 | ETRS89 / GK20FIN | ETRS89 | tmerc lat_0=0 lon_0=20 k_0=1 x_0=20500000 y_0=0 | 19.5 59.92 20.5 60.48
3875 | ETRS89 / GK21FIN | ETRS89 | tmerc lat_0=0 lon_0=21 k_0=1 x_0=21500000 y_0=0 | 20.5 59.84 21.5 69.33
3876 | ETRS89 / GK22FIN | ETRS89 | tmerc lat_0=0 lon_0=22 k_0=1 x_0=22500000 y_0=0 | 21.5 59.76 22.5 69.31
3877 | ETRS89 / GK23FIN | ETRS89 | tmerc lat_0=0 lon_0=23 k_0=1 x_0=23500000 y_0=0 | 22.5 59.75 23.5 68.74
3878 | ETRS89 / GK24FIN | ETRS89 | tmerc lat_0=0 lon_0=24 k_0=1 x_0=24500000 y_0=0 | 23.5 59.86 24.5 68.84
3879 | ETRS89 / GK25FIN | ETRS89 | tmerc lat_0=0 lon_0=25 k_0=1 x_0=25500000 y_0=0 | 24.5 59.94 25.5 68.9
3880 | ETRS89 / GK26FIN | ETRS89 | tmerc lat_0=0 lon_0=26 k_0=1 x_0=26500000 y_0=0 | 25.5 60.18 26.5 69.94
3881 | ETRS89 / GK27FIN | ETRS89 | tmerc lat_0=0 lon_0=27 k_0=1 x_0=27500000 y_0=0 | 26.5 60.36 27.5 70.05
3882 | ETRS89 / GK28FIN | ETRS89 | tmerc lat_0=0 lon_0=28 k_0=1 x_0=28500000 y_0=0 | 27.5 60.42 28.5 70.09
3883 | ETRS89 / GK29FIN | ETRS89 | tmerc lat_0=0 lon_0=29 k_0=1 x_0=29500000 y_0=0 | 28.5 60.94 29.5 69.81
3884 | ETRS89 / GK30FIN | ETRS89 | tmerc lat_0=0 lon_0=30 k_0=1 x_0=30500000 y_0=0 | 29.5 61.43 30.5 67.98
3885 | ETRS89 / GK31FIN | ETRS89 | tmerc lat_0=0 lon_0=31 k_0=1 x_0=31500000 y_0=0 | 30.5 62.08 31.59 64.27
2391 | KKJ / Finland zone 1 | KKJ | tmerc lat_0=0 lon_0=21 k_0=1 x_0=1500000 y_0=0 | 19.5 59.76 22.5 69.33
2392 | KKJ / Finland zone 2 | KKJ | tmerc lat_0=0 lon_0=24 k_0=1 x_0=2500000 y_0=0 | 22.5 59.75 25.5 68.9
2393 | KKJ / Finland Uniform Coordinate System | KKJ | tmerc lat_0=0 lon_0=27 k_0=1 x_0=3500000 y_0=0 | 25.5 60.18 28.51 70.09
2394 | KKJ / Finland zone 4 | KKJ | tmerc lat_0=0 lon_0=30 k_0=1 x_0=4500000 y_0=0 | 28.5 60.94 31.5 69.81
3003 | Monte Mario / Italy zone 1 | Monte Mario | tmerc lat_0=0 lon_0=9 k_0=0.9996 x_0=1500000 y_0=0 | 5.93 36.53 12 47.04
3004 | Monte Mario / Italy zone 2 | Monte Mario | tmerc lat_0=0 lon_0=15 k_0=0.9996 x_0=2520000 y_0=0 | 12 34.76 18.99 47.1
7791 | RDN2008 / UTM zone 32N | RDN2008 | tmerc lat_0=0 lon_0=9 k_0=0.9996 x_0=500000 y_0=0 | 5.93 36.53 12 47.04
7792 | RDN2008 / UTM zone 33N | RDN2008 | tmerc lat_0=0 lon_0=15 k_0=0.9996 x_0=500000 y_0=0 | 12 34.79 18 47.1
6707 | RDN2008 / UTM zone 32N (N-E) | RDN2008 | tmerc lat_0=0 lon_0=9 k_0=0.9996 x_0=500000 y_0=0 | 5.93 36.53 12 47.04
6708 | RDN2008 / UTM zone 33N (N-E) | RDN2008 | tmerc lat_0=0 lon_0=15 k_0=0.9996 x_0=500000 y_0=0 | 12 34.79 18 47.1
3763 | ETRS89 / Portugal TM06 | ETRS89 | tmerc lat_0=39.6682583333333 lon_0=-8.13310833333333 k_0=1 x_0=0 y_0=0 | -9.56 36.95 -6.19 42.16
27493 | Datum 73 / Modified Portuguese Grid | Datum 73 | tmerc lat_0=39.6666666666667 lon_0=-8.13190611111111 k_0=1 x_0=180.598 y_0=-86.99 | -9.56 36.95 -6.19 42.16
2100 | GGRS87 / Greek Grid | GGRS87 | tmerc lat_0=0 lon_0=24 k_0=0.9996 x_0=500000 y_0=0 | 19.57 34.88 28.3 41.75
23700 | HD72 / EOV | HD72 | somerc lat_0=47.1443937222222 lon_0=19.0485717777778 k_0=0.99993 x_0=650000 y_0=200000 | 16.11 45.74 22.9 48.58
3844 | Pulkovo 1942(58) / Stereo70 | Pulkovo 1942(58) | sterea lat_0=46 lon_0=25 k_0=0.99975 x_0=500000 y_0=500000 | 20.26 43.44 31.41 48.27
3346 | LKS94 / Lithuania TM | LKS94 | tmerc lat_0=0 lon_0=24 k_0=0.9998 x_0=500000 y_0=0 | 19.02 53.89 26.82 56.45
3059 | LKS-92 / Latvia TM | LKS92 | tmerc lat_0=0 lon_0=24 k_0=0.9996 x_0=500000 y_0=-6000000 | 19.06 55.67 28.24 58.09
3301 | Estonian Coordinate System of 1997 | EST97 | lcc lat_0=57.5175539305556 lon_0=24 lat_1=59.3333333333333 lat_2=58 x_0=500000 y_0=6375000 | 20.37 57.52 28.2 60
3765 | HTRS96 / Croatia TM | HTRS96 | tmerc lat_0=0 lon_0=16.5 k_0=0.9999 x_0=500000 y_0=0 | 13.43 42.34 19.43 46.54
3794 | Slovenia 1996 / Slovene National Grid | Slovenia 1996 | tmerc lat_0=0 lon_0=15 k_0=0.9999 x_0=500000 y_0=-5000000 | 13.38 45.42 16.61 46.88
3912 | MGI 1901 / Slovene National Grid | MGI 1901 | tmerc lat_0=0 lon_0=15 k_0=0.9999 x_0=500000 y_0=-5000000 | 13.38 45.42 16.61 46.88
3057 | ISN93 / Lambert 1993 | ISN93 | lcc lat_0=65 lon_0=-19 lat_1=64.25 lat_2=65.75 x_0=500000 y_0=500000 | -30.87 59.96 -5.55 69.59
5316 | ETRS89 / Faroe TM | ETRS89 | tmerc lat_0=0 lon_0=-7 k_0=0.999997 x_0=200000 y_0=-6000000 | -13.91 59.94 -0.48 65.7
7801 | BGS2005 / CCS2005 | BGS2005 | lcc lat_0=42.6678756833333 lon_0=25.5 lat_1=42 lat_2=43.3333333333333 x_0=500000 y_0=4725824.3591 | 22.36 41.24 28.68 44.23
28403 | Pulkovo 1942 / Gauss-Kruger zone 3 | Pulkovo 1942 | tmerc lat_0=0 lon_0=15 k_0=1 x_0=3500000 y_0=0 | 12 45.78 18 54.89
28404 | Pulkovo 1942 / Gauss-Kruger zone 4 | Pulkovo 1942 | tmerc lat_0=0 lon_0=21 k_0=1 x_0=4500000 y_0=0 | 19.57 47.95 24 59.44
28405 | Pulkovo 1942 / Gauss-Kruger zone 5 | Pulkovo 1942 | tmerc lat_0=0 lon_0=27 k_0=1 x_0=5500000 y_0=0 | 24 45.18 30.01 69.47
28406 | Pulkovo 1942 / Gauss-Kruger zone 6 | Pulkovo 1942 | tmerc lat_0=0 lon_0=33 k_0=1 x_0=6500000 y_0=0 | 30 44.32 36 70.02
28407 | Pulkovo 1942 / Gauss-Kruger zone 7 | Pulkovo 1942 | tmerc lat_0=0 lon_0=39 k_0=1 x_0=7500000 y_0=0 | 36 41.43 42 69.23
28408 | Pulkovo 1942 / Gauss-Kruger zone 8 | Pulkovo 1942 | tmerc lat_0=0 lon_0=45 k_0=1 x_0=8500000 y_0=0 | 42 38.84 48.01 80.91
28409 | Pulkovo 1942 / Gauss-Kruger zone 9 | Pulkovo 1942 | tmerc lat_0=0 lon_0=51 k_0=1 x_0=9500000 y_0=0 | 48 37.34 54 81.4
28410 | Pulkovo 1942 / Gauss-Kruger zone 10 | Pulkovo 1942 | tmerc lat_0=0 lon_0=57 k_0=1 x_0=10500000 y_0=0 | 54 37.05 60 81.91
28411 | Pulkovo 1942 / Gauss-Kruger zone 11 | Pulkovo 1942 | tmerc lat_0=0 lon_0=63 k_0=1 x_0=11500000 y_0=0 | 60 35.14 66 81.77
3333 | Pulkovo 1942(58) / Gauss-Kruger zone 3 | Pulkovo 1942(58) | tmerc lat_0=0 lon_0=15 k_0=1 x_0=3500000 y_0=0 | 12 45.78 18 54.89
3334 | Pulkovo 1942(58) / Gauss-Kruger zone 4 | Pulkovo 1942(58) | tmerc lat_0=0 lon_0=21 k_0=1 x_0=4500000 y_0=0 | 18 39.64 24 54.89
3335 | Pulkovo 1942(58) / Gauss-Kruger zone 5 | Pulkovo 1942(58) | tmerc lat_0=0 lon_0=27 k_0=1 x_0=5500000 y_0=0 | 24 41.24 29.74 50.93
5562 | UCS-2000 / Gauss-Kruger zone 4 | UCS-2000 | tmerc lat_0=0 lon_0=21 k_0=1 x_0=4500000 y_0=0 | 22.15 47.95 24 51.66
5563 | UCS-2000 / Gauss-Kruger zone 5 | UCS-2000 | tmerc lat_0=0 lon_0=27 k_0=1 x_0=5500000 y_0=0 | 24 45.1 30 51.96
5564 | UCS-2000 / Gauss-Kruger zone 6 | UCS-2000 | tmerc lat_0=0 lon_0=33 k_0=1 x_0=6500000 y_0=0 | 30 43.18 36 52.38
5565 | UCS-2000 / Gauss-Kruger zone 7 | UCS-2000 | tmerc lat_0=0 lon_0=39 k_0=1 x_0=7500000 y_0=0 | 36 43.43 40.18 50.44
3416 | ETRS89 / Austria Lambert | ETRS89 | lcc lat_0=47.5 lon_0=13.3333333333333 lat_1=49 lat_2=46 x_0=400000 y_0=400000 | 9.53 46.4 17.17 49.02
5105 | ETRS89 / NTM zone 5 | ETRS89 | tmerc lat_0=58 lon_0=5.5 k_0=1 x_0=100000 y_0=1000000 | 4.39 58.32 6.01 62.64
5106 | ETRS89 / NTM zone 6 | ETRS89 | tmerc lat_0=58 lon_0=6.5 k_0=1 x_0=100000 y_0=1000000 | 6 57.93 7.01 63.03
5107 | ETRS89 / NTM zone 7 | ETRS89 | tmerc lat_0=58 lon_0=7.5 k_0=1 x_0=100000 y_0=1000000 | 6.99 57.9 8.01 63.59
5108 | ETRS89 / NTM zone 8 | ETRS89 | tmerc lat_0=58 lon_0=8.5 k_0=1 x_0=100000 y_0=1000000 | 8 58 9.01 64.1
5109 | ETRS89 / NTM zone 9 | ETRS89 | tmerc lat_0=58 lon_0=9.5 k_0=1 x_0=100000 y_0=1000000 | 9 58.44 10.01 64.25
5110 | ETRS89 / NTM zone 10 | ETRS89 | tmerc lat_0=58 lon_0=10.5 k_0=1 x_0=100000 y_0=1000000 | 10 58.9 11.01 65.27
2193 | NZGD2000 / New Zealand Transverse Mercator 2000 | NZGD2000 | tmerc lat_0=0 lon_0=173 k_0=0.9996 x_0=1600000 y_0=10000000 | 166.37 -47.33 178.63 -34.1
27200 | NZGD49 / New Zealand Map Grid | NZGD49 | nzmg lat_0=-41 lon_0=173 x_0=2510000 y_0=6023150 | 166.37 -47.33 178.63 -34.1
3577 | GDA94 / Australian Albers | GDA94 | aea lat_0=0 lon_0=132 lat_1=-18 lat_2=-36 x_0=0 y_0=0 | 112.85 -43.7 153.69 -9.86
3111 | GDA94 / Vicgrid | GDA94 | lcc lat_0=-37 lon_0=145 lat_1=-36 lat_2=-38 x_0=2500000 y_0=2500000 | 140.96 -39.2 150.04 -33.98
3308 | GDA94 / NSW Lambert | GDA94 | lcc lat_0=-33.25 lon_0=147 lat_1=-30.75 lat_2=-35.75 x_0=9300000 y_0=4500000 | 140.99 -37.53 153.69 -28.15
5070 | NAD83 / Conus Albers | NAD83 | aea lat_0=23 lon_0=-96 lat_1=29.5 lat_2=45.5 x_0=0 y_0=0 | -124.79 24.41 -66.91 49.38
3310 | NAD83 / California Albers | NAD83 | aea lat_0=0 lon_0=-120 lat_1=34 lat_2=40.5 x_0=0 y_0=-4000000 | -124.45 32.53 -114.12 42.01
3978 | NAD83 / Canada Atlas Lambert | NAD83 | lcc lat_0=49 lon_0=-95 lat_1=49 lat_2=77 x_0=0 y_0=0 | -141.01 38.21 -40.73 86.46
3979 | NAD83(CSRS) / Canada Atlas Lambert | NAD83 | lcc lat_0=49 lon_0=-95 lat_1=49 lat_2=77 x_0=0 y_0=0 | -141.01 38.21 -40.73 86.46
6372 | Mexico ITRF2008 / LCC | Mexico ITRF2008 | lcc lat_0=12 lon_0=-102 lat_1=17.5 lat_2=29.5 x_0=2500000 y_0=0 | -122.19 12.1 -84.64 32.72
3347 | NAD83 / Statistics Canada Lambert | NAD83 | lcc lat_0=63.390675 lon_0=-91.8666666666667 lat_1=49 lat_2=77 x_0=6200000 y_0=3000000 | -141.01 38.21 -40.73 86.46
5880 | SIRGAS 2000 / Brazil Polyconic | SIRGAS 2000 | poly lat_0=0 lon_0=-54 x_0=5000000 y_0=10000000 | -74.01 -35.71 -25.28 7.04
6669 | JGD2011 / Japan Plane Rectangular CS I | JGD2011 | tmerc lat_0=33 lon_0=129.5 k_0=0.9999 x_0=0 y_0=0 | 128.17 26.96 130.46 34.74
6670 | JGD2011 / Japan Plane Rectangular CS II | JGD2011 | tmerc lat_0=33 lon_0=131 k_0=0.9999 x_0=0 y_0=0 | 129.76 30.18 132.05 33.99
6671 | JGD2011 / Japan Plane Rectangular CS III | JGD2011 | tmerc lat_0=36 lon_0=132.166666666667 k_0=0.9999 x_0=0 y_0=0 | 130.81 33.72 133.49 36.38
6672 | JGD2011 / Japan Plane Rectangular CS IV | JGD2011 | tmerc lat_0=33 lon_0=133.5 k_0=0.9999 x_0=0 y_0=0 | 131.95 32.69 134.81 34.45
6673 | JGD2011 / Japan Plane Rectangular CS V | JGD2011 | tmerc lat_0=36 lon_0=134.333333333333 k_0=0.9999 x_0=0 y_0=0 | 133.13 34.13 135.47 35.71
6674 | JGD2011 / Japan Plane Rectangular CS VI | JGD2011 | tmerc lat_0=36 lon_0=136 k_0=0.9999 x_0=0 y_0=0 | 134.86 33.4 136.99 36.33
6675 | JGD2011 / Japan Plane Rectangular CS VII | JGD2011 | tmerc lat_0=36 lon_0=137.166666666667 k_0=0.9999 x_0=0 y_0=0 | 136.22 34.51 137.84 37.58
6676 | JGD2011 / Japan Plane Rectangular CS VIII | JGD2011 | tmerc lat_0=36 lon_0=138.5 k_0=0.9999 x_0=0 y_0=0 | 137.32 34.54 139.91 38.58
6677 | JGD2011 / Japan Plane Rectangular CS IX | JGD2011 | tmerc lat_0=36 lon_0=139.833333333333 k_0=0.9999 x_0=0 y_0=0 | 138.4 29.31 141.11 37.98
6678 | JGD2011 / Japan Plane Rectangular CS X | JGD2011 | tmerc lat_0=40 lon_0=140.833333333333 k_0=0.9999 x_0=0 y_0=0 | 139.49 37.73 142.14 41.58
6679 | JGD2011 / Japan Plane Rectangular CS XI | JGD2011 | tmerc lat_0=44 lon_0=140.25 k_0=0.9999 x_0=0 y_0=0 | 139.34 41.34 141.46 43.42
6680 | JGD2011 / Japan Plane Rectangular CS XII | JGD2011 | tmerc lat_0=44 lon_0=142.25 k_0=0.9999 x_0=0 y_0=0 | 140.89 42.15 143.61 45.54
6681 | JGD2011 / Japan Plane Rectangular CS XIII | JGD2011 | tmerc lat_0=44 lon_0=144.25 k_0=0.9999 x_0=0 y_0=0 | 142.61 41.87 145.87 44.4
6682 | JGD2011 / Japan Plane Rectangular CS XIV | JGD2011 | tmerc lat_0=26 lon_0=142 k_0=0.9999 x_0=0 y_0=0 | 141.2 24.67 142.33 27.8
6683 | JGD2011 / Japan Plane Rectangular CS XV | JGD2011 | tmerc lat_0=26 lon_0=127.5 k_0=0.9999 x_0=0 y_0=0 | 126.63 26.02 128.4 26.91
6684 | JGD2011 / Japan Plane Rectangular CS XVI | JGD2011 | tmerc lat_0=26 lon_0=124 k_0=0.9999 x_0=0 y_0=0 | 122.83 23.98 125.51 24.94
6685 | JGD2011 / Japan Plane Rectangular CS XVII | JGD2011 | tmerc lat_0=26 lon_0=131 k_0=0.9999 x_0=0 y_0=0 | 131.12 24.4 131.38 26.01
6686 | JGD2011 / Japan Plane Rectangular CS XVIII | JGD2011 | tmerc lat_0=20 lon_0=136 k_0=0.9999 x_0=0 y_0=0 | 136.02 20.37 136.16 20.48
6687 | JGD2011 / Japan Plane Rectangular CS XIX | JGD2011 | tmerc lat_0=26 lon_0=154 k_0=0.9999 x_0=0 y_0=0 | 153.91 24.22 154.05 24.35
`;
