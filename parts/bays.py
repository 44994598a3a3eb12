"""What stands in the bays, and the cables between them. Positions count from the corner of each bay."""

from dimensions import BLOCK, FLOOR, HEIGHT, SHEET, THICK, Layout
from frame import BEVEL, Frame
from plates import FANS, INLET_FLANGE, inlet_place

from deskmodel import (
    Desk,
    Flange,
    Hole,
    Member,
    Placed,
    Plate,
    Rest,
    ScrewMount,
    StandOffMount,
    WoodScrewFixing,
    component,
    rectangle,
)

STAND_OFF = 6.5
BEARER = 46  # under the ends of the chart panel
PANEL_TOP = 56.5
BORE = 20


def place_equipment(d: Desk, layout: Layout, frame: Frame, under: Placed, computer: str) -> dict[str, Placed]:
    """All equipment by name; what stands loose is held by strips."""
    bays = layout.bays
    for bay in bays.values():
        d.bay(bay.name, bay.x, bay.y)
    stood = {}

    def stand(sheet, bay, x, y, name=None, z=FLOOR, held="hook-and-loop strips", turn=0.0):
        at = (bays[bay].x[0] + x, bays[bay].y[0] + y, z)
        box = d.place(component(sheet, name), at=at, turn=turn)
        stood[box.name] = box
        if held:
            d.join(Rest(box, under, held=held))
        return box

    screw(d, stand("loudspeaker", "A1", BLOCK + 18, 6, "left loudspeaker", held=None), under)
    stand("network-switch", "A2", 8, 4)
    router = stand("mobile-router", "A3", 78, 10)
    for number, y in enumerate((35, 75), 1):
        place_bulkhead(d, stood, frame, bays["A3"].y[0] + y, number)

    for number, x in enumerate((12, 106), 1):
        stand("charging-well", "B1", x, 98, f"charging well {number}")
    mount(d, stand("amplifier-board", "B1", 42, 4, z=FLOOR + STAND_OFF, held=None), under)
    if computer == "mini-itx":
        mount(d, stand("mini-itx", "B2", 7, 9, z=FLOOR + STAND_OFF, held=None), under)
    else:
        stand("laptop-dock", "B2", 17, 88)
    for number, (x, y) in enumerate(FANS, 1):
        screw(d, stand("fan-80", "B3", x, y, f"fan {number}", held=None), under)

    stand("keyboard", "C1", 40, 8, held="its feet")
    place_chart_panel(d, layout, stood, under)
    mount(d, stand("driver-board", "C2", 200, 110, z=FLOOR + STAND_OFF, held=None), under)
    screw(d, stand("socket-strip", "C3", 6, 60, held=None), under)
    stand("desk-supply", "C3", 318, 16)
    place_inlet(d, layout, frame, stood, under)

    place_strip(d, layout, frame, stood)
    stand("slip-printer", "D2", 8, 6)
    stand("vhf-transceiver", "D3", 9, 4)
    stand("ais-receiver", "D4", 20, 6)
    screw(d, stand("loudspeaker", "E1", 22, 6, "right loudspeaker", held=None), under)
    tray = stand("log-tray", "E2", 2, 1, held="its weight")

    supply = stood["desk supply"]
    d.require_gap(supply, frame.round("C3"), 6, reason="air round the supply")
    d.require_gap(supply, stood["socket strip"], 30, reason="room for the mains plug")
    d.require_gap(stood["network switch"], frame.round("A2"), 4, reason="air round the switch")
    d.require_gap(router, [frame.rails["A3"], frame.uprights[1]], 5, reason="air round the router")
    d.require_gap(tray, frame.round("E2")[2:], 2, reason="to lift the tray out")
    return stood


def mount(d: Desk, board: Placed, under: Placed) -> None:
    d.join(StandOffMount(board, under, height=STAND_OFF))


def screw(d: Desk, box: Placed, under: Placed) -> None:
    """By its own mounting holes, the heads below the under-plate."""
    d.join(ScrewMount(box, under))


def place_bulkhead(d: Desk, stood: dict[str, Placed], frame: Frame, y: float, number: int) -> None:
    """An aerial connector through the left end, its flange let in flush: metal above and below shields the bay."""
    z = 30
    end = frame.uprights[0]
    d.cut(end, Hole("back side", (y - THICK, z - FLOOR), 12.5, counterbore=(19, 3), name=f"aerial {number}",
                    purpose="cable"))
    box = d.place(component("aerial-bulkhead", f"aerial bulkhead {number}"), at=(0, y - 9, z - 9))
    d.join(Rest(box, end, held="its own nut"))
    stood[box.name] = box


def place_chart_panel(d: Desk, layout: Layout, stood: dict[str, Placed], under: Placed) -> None:
    """Face up under the glass, its ends on two bearers."""
    bay = layout.bays["C2"]
    panel = d.place(component("chart-panel"), at=(bay.x[0] + 10, bay.y[0] + 8.5, PANEL_TOP - 15))
    for side, x in (("left", bay.x[0] + 16), ("right", bay.x[1] - 16 - THICK)):
        bearer = d.place(Member(f"{side} bearer", (THICK, BEARER), 300, "ash"), at=(x, bay.y[0] + 6, FLOOR),
                         along="y")
        d.join(WoodScrewFixing(under, bearer, "4x30 pan", pitch=150), Rest(panel, bearer, held="hook-and-loop strips"))
    stood[panel.name] = panel


def place_inlet(d: Desk, layout: Layout, frame: Frame, stood: dict[str, Placed], under: Placed) -> None:
    """From below through the under-plate; a bent guard keeps fingers and loose plugs off its terminals."""
    x, y = inlet_place(layout)
    inlet = d.place(component("mains-inlet"), at=(x - INLET_FLANGE[0] / 2, y - INLET_FLANGE[1] / 2, -3))
    d.join(ScrewMount(inlet, under, nuts="plate"))
    stood[inlet.name] = inlet
    rail = frame.rails["C3"]
    # the guard's plate stands against the rail, its flange leads to the back over the terminals
    flange = Flange("back", length=40, towards="bottom")
    guard = d.place(Plate("inlet guard", rectangle(52, 40), SHEET, "steel", flanges=(flange,)),
                    at=(x - 26, layout.bays["C3"].y[0], 12), turn=90)
    d.join(WoodScrewFixing(guard, rail, "3.5x16", at=((12, 15), (40, 15))))


def place_strip(d: Desk, layout: Layout, frame: Frame, stood: dict[str, Placed]) -> None:
    """Six buttons and a knob on the bevel: turned by 45 degrees, its underside on the slope."""
    rail = frame.rails["D1 bevel"]
    x, y = layout.bays["D1"].middle[0], layout.bays["D1"].y[1]
    half = 0.5 ** 0.5
    up = 1  # from the lower edge of the slope to that of the strip
    knob = 11 - 3  # its rim, 11 above the slope and 3 behind the strip's lower edge, reaches farthest to the front
    at = (x - 70, y + (up - knob) * half, FLOOR + HEIGHT - BEVEL + up * half)
    strip = d.place(component("control-strip"), at=at, turn=45)
    d.join(Rest(strip, rail, held="adhesive pads"))
    stood[strip.name] = strip


def run_cables(d: Desk, layout: Layout, frame: Frame) -> None:
    """Bores where cables pass a member, clear of dowels and screws, and the straight stretches through them."""
    columns, rows = layout.columns, layout.rows
    across = [  # through cross members, from column to column
        ("cross AB", "A", "12 V and network", rows["A"][2][0] + 100),
        ("cross BC", "B", "screen", rows["B"][2][0] + 30),
        ("cross BC", "B", "12 V", rows["B"][2][0] + 190),
        ("cross CD", "C", "12 V right", rows["C"][2][0] + 60),
        ("cross DE", "D", "right speaker", rows["D"][3][0] + 60),
    ]
    by_name = {upright.name: upright for upright in frame.uprights}
    for name, column, cable, y in across:
        x, z = columns[column][1], 42
        d.bore(by_name[name], through="x", at=(x + THICK / 2, y, z), diameter=BORE, name=f"{cable} bore")
        d.cable(f"{cable} cable", 8, [(x - 5, y, z), (x + THICK + 5, y, z)])
    along = [  # through rails, from bay to bay
        ("A2", "left speaker", 150), ("A3", "network", 150), ("C2", "keyboard", 260), ("C3", "screen in", 120),
        ("D3", "printer", 90), ("D4", "transceiver", 92), ("E2", "right speaker", 150), ("E3", "right feed", 150),
    ]
    for rail, cable, x in along:
        bay = layout.bays[rail]
        at = (bay.x[0] + x, bay.y[0] - THICK / 2, 40)
        d.bore(frame.rails[rail], through="y", at=at, diameter=BORE, name=f"{cable} bore")
        d.cable(f"{cable} lead", 8, [(at[0], at[1] - 14, 40), (at[0], at[1] + 14, 40)])
