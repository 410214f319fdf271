"""The long text of every decision, by its id; ids that end in a tool's number stand here without it."""

from __future__ import annotations

from typing import Final

DECISIONS: Final[dict[str, str]] = {
    "screw": (
        "The largest standard flat-point set screw of alloy steel that passes every geometric check is taken "
        "(common practice: the largest that fits). A screw given in the job is the only one tried. Each larger "
        "screw is named with what rejected it."
    ),
    "angles": (
        "Four screws 90 degrees apart see every hole, bore and slot folded into one quarter turn. Each wall only "
        "rises or only falls between neighbouring breakpoints, so the best first angle lies where a rising wall "
        "meets a falling one, or on a plateau, whose middle is taken. For N equal axial holes the free angle is "
        "180 / lcm(4, N) degrees."
    ),
    "spacing": (
        "A job may allow each screw to leave its place of a common cross of 90 degrees by a few degrees "
        "(adjustment.spacing_tolerance_deg). That is made use of only where four evenly spaced screws leave too thin "
        "a wall. Opposed screws then push a little beside each other, and the work must be indexed the right way round."
    ),
    "features": (
        "The job lists nothing inside of the chuck's body. Walls are reckoned to what is listed and to the mounting "
        "bolts; what is not listed is not seen. A self-centring chuck has pinions in bores of its rim, a scroll in a "
        "chamber, and ways for its jaws: open it and measure before a drill finds them."
    ),
    "least-wall": (
        "Iron left between the crests of a screw's thread, over its whole path through the rim, and the nearest "
        "feature or mounting bolt. It is the exact distance of the two bodies, not of their middle lines. The hole "
        "ends where it comes out in the recess; where its edge would run below the recess bottom, at the deeper tip "
        "of drill and tap."
    ),
    "setback": (
        "The distance from the rear seating face to the screws' axis. Iron towards the rear face wants it large; "
        "the recess bottom, the cover, the spigot's end, the plate under the bolts' heads and the bolts' thread want "
        "it small. The middle of what is allowed is taken, or the nearest place to it that leaves the wall wished for."
    ),
    "rear-edge": (
        "The hole's edge keeps 0.4 of the screw's diameter of iron to the rear face, else tightening the screw "
        "breaks the edge out. Common practice, no source."
    ),
    "recess-floor": (
        "The hole's edge stays above the bottom of the recess, or above the cover where it is kept, else the "
        "drill cuts into it as it breaks through the recess wall."
    ),
    "tip-on-spigot": (
        "The screw's flat tip must bear wholly on the spigot, clear of the broken edge at its end. A tip that "
        "hangs over digs in and pushes askew."
    ),
    "tip-clear-of-fillet": (
        "The turning tool leaves a fillet of its nose radius in the corner of spigot and seat, or the undercut that "
        "the job wants there. The tip must stand clear of it."
    ),
    "corner": (
        "The tool's nose leaves a fillet in the corner of spigot and seat. A recess mouth with a smaller chamfer rides "
        "up on it when the chuck is pushed aside. An undercut takes the fillet away: shape E goes below the spigot "
        "alone, where the tool's edge clears a run-out of 15 degrees; shape F goes below both faces, its run-outs as "
        "steep as the edges clear. It takes a little of the length on which a screw's tip may stand."
    ),
    "relief": (
        "What is turned off the spigot's diameter so that the chuck can float: about 1 mm or 0.040 in by common "
        "practice, more where the float needed or the corner fillet asks for it."
    ),
    "faced-back": (
        "The seat is faced back so that the spigot becomes long enough to take the screws' tips. The plate "
        "becomes thinner by as much. Where the mounting bolts would hold by less than 1 d and facing back more lets "
        "them reach deep enough, it is faced back by that much; longer bolts would need less."
    ),
    "spigot-gap": (
        "The spigot's end stays at least 0.25 mm off the recess bottom or the cover, so that the chuck seats on "
        "its face and not on the spigot. Common practice, no source."
    ),
    "spigot-wall": (
        "At least 3 mm of spigot stay round the plate's bore after the relief, because the four screws push on it. "
        "Common practice, no source."
    ),
    "spigot-shorter": (
        "Facing the seat back can only lengthen the spigot. A length below what is there would need the spigot's "
        "end faced, which this program does not do."
    ),
    "plate-under-head": (
        "Plate left under the heads of the mounting bolts after facing: at least 0.75 of the bolt's diameter. "
        "Common practice, no source."
    ),
    "bolt-reach": (
        "The bolts reach deeper into the chuck by what is faced off the seat. Past the full thread they bottom, "
        "feel tight and do not clamp: the chuck would come loose at speed."
    ),
    "bolt-engagement": (
        "Length of bolt in the chuck's thread: in grey iron at least one diameter, one and a half wished for. "
        "Common practice, no source."
    ),
    "float": (
        "Needed is half the worst run-out as found and the travel wanted for parts. There is the smallest of the "
        "register gap (recess less spigot, halved), the bolt gap (hole less bolt, halved, less the error of their "
        "places) and what the corner fillet leaves: the recess's mouth rides up on the fillet unless gap less "
        "shift plus mouth chamfer is at least the nose radius."
    ),
    "screw-sunk": (
        "The screw's head stays at least 0.5 mm under the surface over the whole float. A screw that stands out "
        "of a turning chuck catches clothing and hands. Common practice, no source."
    ),
    "screw-engagement": (
        "Thread of the screw in the rim at the far end of the float: in grey iron at least one diameter, one and "
        "a half wished for. Common practice, no source."
    ),
    "screw-length": (
        "Set screws are made in standard lengths. A length between them can be had only by shortening a screw, which "
        "leaves a tip that is neither flat nor hard where it bears."
    ),
    "torque-share": (
        "For truing, a third of the published seating torque is enough: the screw pushes, it does not have to seat."
    ),
    "torque-tip": (
        "The mean pressure under the smallest tip stays under half the compressive strength of the plate's iron, "
        "at the highest force that the torque can give."
    ),
    "torque-thread": (
        "The thread in the rim stands the highest force with a factor of two: shear area by FED-STD-H28/2, shear "
        "strength 0.6 of the tensile strength."
    ),
    "torque-bending": (
        "Two opposed screws bend the rim as a ring: moment W R / pi. The rim alone, as deep as the recess, is "
        "weaker than what is there, a ring over the whole body's length stiffer; the rim alone is taken, at a "
        "quarter of the iron's tensile strength."
    ),
    "safe-torque": (
        "The least of the torques that tip, thread, rim and the share of the seating torque allow. A screw without a "
        "head pushes F = T / (d2/2 tan(lead angle + atan(mu / cos 30)) + mu dp / 3), friction mu 0.10 to 0.20; "
        "F = T / (K d) with K from 0.12 to 0.30 (Shigley's Table 8-15) is reckoned beside it. Strength counts the "
        "highest force of all, the push the lowest."
    ),
    "push": (
        "While the screws move the chuck the bolts may only be snug: the least push must overcome friction on the "
        "seat, reckoned at up to 0.4, under the bolts' preload, and lift the chuck's weight. Where it cannot lift "
        "it the push must go sideways: a caution."
    ),
    "load-path": (
        "The screws place the chuck; they do not carry the cut. The clamped seat does, so the bolts are tightened "
        "to torque in their order before cutting. The screws cannot take out a tilt along the work."
    ),
    "speed-limit": (
        "Never run a modified chuck above the speed marked on its body or its maker's figure. Where none is known "
        "none is invented. A modified chuck may lose its maker's approval: ask the maker; local rules and "
        "competent persons decide."
    ),
    "spot-depth": (
        "On a round body the chamfer is narrowest across the axis: D = r / tan(angle / 2) + R - sqrt(R^2 - r^2)."
    ),
    "drill-depth": (
        "The full diameter goes through the rim all round: the recess wall falls away beside the axis by "
        "a - sqrt(a^2 - r^2); then a break-through and the drill's point."
    ),
    "tap-depth": "The full thread goes through the rim; the tap's lead threads and one pitch pass the recess wall.",
    "cut-spot": "Speed and feed to spot, from the handbook's row, brought down for a light machine.",
    "cut-drill": (
        "Speed and feed to drill, from the handbook's row, brought down for a light machine and for the hole's depth."
    ),
    "cut-tap": "Tapping: by hand with the spindle stopped, or synchronised at a speed from the handbook's row.",
    "cut-rough": (
        "Roughing speed at the plate's outside, from the handbook's row, brought down for a light machine and for "
        "an edge that strikes the bolt holes."
    ),
    "cut-finish": "Finishing speed and feed, from the handbook's row, brought down as for roughing.",
    "drill-thrust": "The greater of two published formulas; allow 40 percent either way.",
    "drill-power": "Drilling torque times speed, at the motor of a geared head, against the machine's power.",
    "tap-torque": "The greater of two tap makers' formulas for a sharp tap; a dull one takes twice as much.",
    "flutes": "A drill that goes in past its flutes packs with chips and breaks. Common practice, no source.",
    "stick-out": (
        "The tool stands out of its holder far enough that the holder keeps 1 mm off the body at full depth. "
        "Common practice, no source."
    ),
    "tools": (
        "Tools that serve are taken from the job's list. Others are named with the least that they must have: "
        "flutes, stick-out, holder."
    ),
    "passes": (
        "The fewest passes whose depth of cut the job allows, alike and of a round depth but for the last, then one "
        "finishing pass. Roughed outward, the seat "
        "is cut by the edge that lies nearly along it, so that those passes are thinner: no deeper than that edge "
        "reaches, nor than 0.25 mm where it lies within 15 degrees of the feed. Common practice, no source."
    ),
    "corner-reach": (
        "The finishing pass feeds out along the seat, cutting with the edge that stands a little off square. That "
        "edge must reach past the finishing allowance, else the tool's body rubs."
    ),
    "turning-power": "Cutting force by Kienzle's formula times surface speed, at the motor, against its power.",
    "finish": "Theoretical roughness Ra = f^2 / (32 r) of the finishing feed and nose radius.",
    "tip-contact": (
        "A flat tip on a round spigot meets it along a line first. Peak pressure and width of the band are those of "
        "Hertz for a cylinder on a flat: b = sqrt(4 F R / (pi L E*)), p = 2 F / (pi b L), with the highest force that "
        "the safe torque gives. Above the plate's compressive strength it leaves a witness mark: a caution, no stop."
    ),
    "rim-gives": (
        "How far the screws press the body in: a ring under equal loads gives W R^3 / (E I) times 0.0744 for two "
        "opposed loads, 0.0061 for four. At the jaws a ring of the rim's thickness over the body's length, less "
        "the slots that cut it, is taken; at the rim the rim alone. More than 0.005 mm at the jaws with all four alike "
        "is a caution (common practice, no source)."
    ),
    "bolt-preload": (
        "The screws push along the seat, square to the mounting bolts: nothing of it pulls on a bolt or unloads it. "
        "Preload is lost when the bolts are left snug after truing, or when their heads sink into the plate."
    ),
    "bolts-hold": (
        "Force across the seat and torque about the spindle add at the worst bolt: (F + T / r) against mu n Fv. "
        "Friction 0.10 is counted on, preload 0.75 of the proof load of class 8.8. Without adjustment.heaviest_cut_n "
        "the handbook's roughing cut in steel is taken, 0.125 in by 0.012 in a turn, at the chuck's outside, or what "
        "the lathe's power gives where that is less; then a seat that would slip is a caution. With a cut given, below "
        "1 is a stop and below 1.5 a caution. Neither the screws nor the old register is counted."
    ),
    "bolt-thread": (
        "The iron round a mounting bolt stands shear area times engagement times 0.6 of the tensile strength "
        "(FED-STD-H28/2). It must stand the bolt's preload, and 1.5 times of it is wished for."
    ),
    "head-bearing": (
        "The preload over the ring between the face under the head and the hole in the plate. Above 0.8 of the "
        "plate's compressive strength the head sinks in and the preload goes. A hole as wide as the head is a stop."
    ),
    "mass": (
        "The chuck's mass as given; else that of a solid body less its recess, because scroll, pinions and jaws fill "
        "most of what is hollow. Friction and balance are reckoned with it."
    ),
    "balance": (
        "A chuck of mass m shifted by e carries the unbalance m e. A grade G of ISO 21940-11 allows e = 9549 G / n "
        "micrometres. The shift is half the worst run-out as found. G6.3 is taken unless adjustment.balance_grade says "
        "otherwise: the standard names it for parts of machine tools. A marked speed above what the grade allows is a "
        "caution."
    ),
    "register-fit": (
        "Recess less spigot as measured, against the greatest clearance of H7 with h6, g6 and f7 (ISO 286-2). A "
        "register looser than all of them did not place the chuck."
    ),
    "drift": (
        "Two readings of one bar, near the jaws and further out, tell how its axis goes off: half the change of "
        "run-out over the distance. Eccentricities subtract as arrows; without the high spots only bounds are known. "
        "The screws cannot mend it. A change of 0.02 mm or more is a caution (common practice, no source): grind the "
        "jaws."
    ),
    "other-diameters": (
        "Readings at several clamped diameters tell what run-out is left at the others when one is set true: twice the "
        "difference of their eccentricities, as arrows; without the high spots between the difference and the sum of "
        "the run-outs. 0.02 mm or more is a caution (common practice, no source)."
    ),
    "how-sure": (
        "A length written { value = 8, within = 0.05 } lies anywhere within its bounds, alike often: bounds are all "
        "that is known of it. Each margin is reckoned again for many draws of all such lengths together; the choices "
        "stay as decided. Worst is the least margin anywhere within the bounds, chance the share of draws below zero. "
        "A decision that holds at nominal values only is a caution. The two measurements named are those that move "
        "the least settled margin most: measure them again first. A plain length counts as exact."
    ),
}
