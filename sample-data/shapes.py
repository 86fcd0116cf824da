"""The shape of each schedule: its columns, its words, and what stands above and below its table.

One shape a file. A header or a word that is changed here has to be changed in the mapping file of the
same name in the folder mappings, and the other way round.
"""

from decimal import Decimal

from campus import CLINIC_FILE, HALL_FILE, HOUSE_FILE, LIGHTING_FILE, WORKS_FILE
from formats import Column, Shape, ods, text_file, xlsx

CANONICAL_FIELDS = """
outlet_id quantity building floor room room_use occupancy mounting_location serves_countertop
facing exposure height sink_distance tub_distance tub_rise in_tub_space bath_zone_exception
dedicated_appliance part_of_equipment obstruction_depth reach_exempt bed_location care_category
trade installer observed_on observed_by evidence edition permit_date work device configuration
receptacles_on_yoke device_gangs device_amps device_volts listed_for tamper_resistant
weather_resistant hospital_grade isolated_ground isolated_ground_mark controlled controlled_mark
controlled_mark_on no_ground_label gfci_label gfci gfci_in_device gfci_exception afci
afci_exception panel circuit supply system phases volts circuit_amps individual_circuit
ground_present bonding enclosure_id gang barrier box box_identified box_fastened box_material
box_mount box_size box_gangs box_volume extra_volume wires_18 wires_16 wires_14 wires_12
wires_10 wires_8 wires_6 device_wire ground_wires ground_wire_size isolated_ground_wires clamps
fittings terminal_blocks terminal_block_wire box_set_back surface surface_combustible wall_gap
mounted_on yoke_seat cover_screws single_screw_cover device_screw threads_per_inch strain_relief
hub faceplate faceplate_material faceplate_covers faceplate_seated face_projection face_kit
terminals_exposed weather_cover washdown attended_use cover_is_hood extra_duty
""".split()

CANONICAL = Shape(
    "every field of the model under its own name, each length with its unit; needs no "
    "mapping",
    [Column(field, field, "with unit") for field in CANONICAL_FIELDS], text_only=True,
                  phase_mark="; ")


def columns(text):
    """Columns from lines of `header = field unit`."""
    made = []
    for line in text.strip().splitlines():
        header, _, rest = line.partition(" = ")
        field, *unit = rest.split()
        made.append(Column(header.strip(), field, *unit[:1], fill_down="down" in unit[1:]))
    return made


def words(**fields):
    """Words of the schedule by word of the model, from `model word=schedule word; ...`."""
    return {field: dict(pair.strip().split("=", 1) for pair in text.split(";"))
            for field, text in fields.items()}


CLINIC = Shape(
    "title rows, inches and feet in the headers, site abbreviations, a total row and a "
    "note below; a second sheet of abbreviations",
    columns("""
Tag = outlet_id
Qty = quantity
Lvl = floor
Rm = room
Rm Function = room_use
Use Group = occupancy
Mtd In = mounting_location
Face Dir. = facing
Loc. Class = exposure
AFF (in) = height in
Path to Sink (ft) = sink_distance ft
Bed Loc. = bed_location
Care Level = care_category
Sub = trade
Installed By = installer
Type = device
NEMA = configuration
Faces = receptacles_on_yoke
Listing = listed_for
Reach Exempt = reach_exempt
TR = tamper_resistant
WR = weather_resistant
HG = hospital_grade
IG = isolated_ground
IG Mark = isolated_ground_mark
GFI = gfci
Pnl = panel
Ckt = circuit
Xfmr = supply
Syst. = system
Ph = phases
Nom. Voltage = volts
Ckt Size = circuit_amps
Ded. = individual_circuit
Bond = bonding
Gang Box = enclosure_id
Pos = gang
Divider = barrier
Box Type = box
Box Fixed = box_fastened
Box Matl = box_material
Box Set = box_mount
Set-back (in) = box_set_back in
Wall Finish = surface
Gap (in) = wall_gap in
Carrier = mounted_on
Yoke Against = yoke_seat
Cvr Screws = cover_screws
1-Screw Listed = single_screw_cover
Dev. Screw = device_screw
TPI = threads_per_inch
Plate = faceplate
Plate Matl = faceplate_material
Plate Full = faceplate_covers
Plate Tight = faceplate_seated
Face Out (in) = face_projection in
Live Parts = terminals_exposed
WP Cover = weather_cover
Hood = cover_is_hood
XD = extra_duty
"""), words(
    room_use="patient-sleeping=Pat. Rm; operating-room=OR; exam-room=Exam; bathroom=Toilet; "
             "corridor=Corr; waiting-room=Waiting; office=Staff Work; kitchen=Staff Lounge; "
             "laboratory=Lab; mechanical=Mech; storage=Store; rooftop=Roof Deck; "
             "outdoors=Entry Court",
    occupancy="hospital=Inpatient; outpatient=Amb. Care",
    mounting_location="wall=Partition; countertop=Counter; work-surface=Work Top; "
                      "sink-base=Sink Cab.; seating=Bench Seat; pendant=Drop",
    facing="up=Skyward; down=Downward; side=Sideways",
    care_category="category-1=Critical; category-2=General",
    device="receptacle=Rcpt",
    listed_for="none=Std; countertop=CT; work-surface=WS; furniture-power=FPDU; furnishing=Furn",
    barrier="none=None; secured=Fixed",
    box="device-box=Switch Box; square=4-Sq; masonry=Gang Masonry; fd=FD",
    box_material="metal=Stl; nonmetallic=PVC", box_mount="flush=Recessed; surface=Exposed",
    surface="gypsum=GWB; tile=CT; vinyl=VWC; masonry=CMU; metal=Mtl; laminate=PLAM; stone=SS Stone",
    mounted_on="box=Box Ears; cover=Raised Cvr",
    yoke_seat="surface=Finish; box=Box Rim; cover=Raised Cvr; loose=Nothing",
    device_screw="supplied=OEM; machine=6-32; sheet-metal=SMS",
    bonding="self-grounding=SG Clip; jumper=Pigtail; none=Nil",
    faceplate_material="metal=Stl; nonmetallic=Nyl",
    weather_cover="none=Nil; closed=WP Flip; in-use=WP Bubble"), yes="Y", no="N")

HOUSE = Shape(
    "French headers and words, semicolons, decimal commas, millimetres, Windows-1252, "
    "days before months",
    columns("""
Repère = outlet_id
Bâtiment = building
Étage = floor
Local = room
Usage = room_use
Classe = occupancy
Support = mounting_location
Plan de travail = serves_countertop
Orientation = facing
Ambiance = exposure
Hauteur (mm) = height mm
Évier (mm) = sink_distance mm
Baignoire (mm) = tub_distance mm
Rebord (mm) = tub_rise mm
Appareil fixe = dedicated_appliance
Lot = trade
Entreprise = installer
Relevé le = observed_on
Relevé par = observed_by
Appareil = device
Type NEMA = configuration
Prises par étrier = receptacles_on_yoke
Homologation = listed_for
Inviolable = tamper_resistant
Résiste aux intempéries = weather_resistant
DDFT = gfci
Anti-arc = afci
Tableau = panel
Départ = circuit
Source = supply
Réseau = system
Conducteurs = phases
Tension = volts
Calibre = circuit_amps
Départ dédié = individual_circuit
Mise à la terre = bonding
Boîtier commun = enclosure_id
Rang = gang
Cloison = barrier
Boîtier = box
Fixation = box_fastened
Matière du boîtier = box_material
Pose = box_mount
Volume (cm3) = box_volume cm3
Fils 14 = wires_14
Fils 12 = wires_12
Fils 10 = wires_10
Fils 6 = wires_6
Fil de l'appareil = device_wire
Fils de terre = ground_wires
Calibre de terre = ground_wire_size
Serre-câbles = clamps
Retrait (mm) = box_set_back mm
Revêtement = surface
Jeu (mm) = wall_gap mm
Porté par = mounted_on
Étrier contre = yoke_seat
Vis du couvercle = cover_screws
Couvercle à une vis = single_screw_cover
Vis de l'appareil = device_screw
Filets au pouce = threads_per_inch
Plaque = faceplate
Matière de la plaque = faceplate_material
Plaque couvrante = faceplate_covers
Plaque appuyée = faceplate_seated
Saillie (mm) = face_projection mm
Bornes à nu = terminals_exposed
Couvercle étanche = weather_cover
Capot = cover_is_hood
Service intensif = extra_duty
"""), words(
    room_use="garage=stationnement; laundry=buanderie; storage=rangement; mechanical=technique; "
             "kitchen=cuisine; dining=repas; recreation=détente; lobby=accueil; outdoors=extérieur; "
             "bedroom=chambre; bathroom=salle de bain; living=séjour; hallway=dégagement; "
             "rooftop=toiture",
    occupancy="dormitory=résidence; dwelling=logement; dwelling-common=parties communes",
    mounting_location="wall=mur; floor=plancher; countertop=comptoir; sink-base=sous évier; "
                      "seating=banquette; furniture=meuble",
    facing="up=haut; side=côté", exposure="dry=sec; damp=humide; wet=mouillé",
    device="receptacle=prise; switch=interrupteur",
    listed_for="none=aucune; countertop=comptoir; furnishing=mobilier; floor-box=boîte de plancher",
    bonding="self-grounding=auto; jumper=cavalier",
    barrier="none=aucune",
    box="device-box=d'appareil; square=carré; masonry=à maçonner; floor-box=de plancher; fd=fonte",
    box_material="metal=métal; nonmetallic=plastique", box_mount="flush=encastrée; surface=saillie",
    surface="gypsum=plâtre cartonné; tile=carrelage; wood=bois; plywood=contreplaqué; "
            "concrete=béton; masonry=maçonnerie; stone=pierre; metal=tôle; laminate=stratifié; "
            "fabric=tissu",
    mounted_on="box=boîtier; cover=couvercle",
    yoke_seat="surface=revêtement; box=boîtier; cover=couvercle; loose=rien",
    device_screw="supplied=d'origine; machine=mécanique",
    faceplate_material="metal=métal; nonmetallic=plastique",
    weather_cover="none=aucun; closed=fermé; in-use=en service"), comma=True, yes="oui", no="non")

WORKS = Shape(
    "a sheet a level with a title row; lengths as a tape is read (`3/16\"`, `12'-6\"`), "
    "each with its mark; the level from the name of the sheet",
    columns("""
Device No. = outlet_id
Area = room
Area Type = room_use
Class = occupancy
Fixed To = mounting_location
Faces = facing
Location = exposure
Mounted At = height mark
To Sink = sink_distance mark
In Shower = in_tub_space
Out Of Reach Rule = reach_exempt
Countertop = serves_countertop
Trade = trade
Firm = installer
Seen On = observed_on
Seen By = observed_by
Job = work
Kind = device
Pattern = configuration
On Yoke = receptacles_on_yoke
Listed For = listed_for
Weather Res. = weather_resistant
Ground Fault = gfci
GF In Device = gfci_in_device
GF Label = gfci_label
No-ground Label = no_ground_label
Ground In Box = ground_present
Bonded By = bonding
Board = panel
Way = circuit
Source = supply
Supply Type = system
Conductors = phases
Rated Voltage = volts
Breaker = circuit_amps
Own Circuit = individual_circuit
Box No. = enclosure_id
Place = gang
Divider = barrier
Box Kind = box
Fastened = box_fastened
Box Of = box_material
Set = box_mount
Set Back = box_set_back mark
Wall Of = surface
Open Joint = wall_gap mark
Held By = mounted_on
Yoke On = yoke_seat
Cover Screws = cover_screws
Screws = device_screw
Thread Count = threads_per_inch
Strain Relief = strain_relief
Hub = hub
Plate On = faceplate
Plate Of = faceplate_material
Plate Closes = faceplate_covers
Plate Seats = faceplate_seated
Proud = face_projection mark
Bare Terminals = terminals_exposed
Weather Cover = weather_cover
Hood = cover_is_hood
Extra Duty = extra_duty
"""), words(
    room_use="mechanical=plant; basement-unfinished=vault; storage=stores; other=shop; "
             "service-bay=vehicle bay; locker-room=changing; bathroom=washroom; "
             "kitchen=break room; outdoors=yard; rooftop=roof",
    occupancy="industrial=works; business=offices",
    mounting_location="work-surface=bench; pendant=drop cord",
    work="new=as built; replacement=swapped", device="receptacle=socket outlet",
    box="device-box=switch box; square=square box; masonry=gang box; fd=cast box; none=no box",
    box_material="metal=steel; nonmetallic=plastic",
    surface="gypsum=plasterboard; concrete=concrete; plywood=ply; tile=tiles",
    yoke_seat="surface=wall face; box=box rim; cover=raised cover; loose=nothing",
    device_screw="supplied=maker's; machine=machine screw; wood=wood screw; other=unlike screws",
    faceplate_material="metal=steel; nonmetallic=plastic",
    weather_cover="closed=flap; in-use=in-use hood"))

LIGHTING = Shape(
    "a sheet a building; storey and room only where they change; check marks; switches "
    "alone",
    columns("""
Storey = floor none down
Room No. = room none down
Switch No. = outlet_id
Control = device
Adopted Code = edition
Mounting Ht (in) = height in
Out Of Reach Rule = reach_exempt
Plate Fitted = faceplate
Lighting Panel = panel
Cct = circuit
Fed By = supply
Network = system
Leg = phases
Nominal = volts
Trip = circuit_amps
Ganged In = enclosure_id
From Left = gang
Partition = barrier
Tail AWG = device_wire
"""), words(device="switch=Toggle; sensor=Occ. Sensor",
            edition="2017=NFPA 70-2017; 2020=NFPA 70-2020; other=Before 2014",
            barrier="none=Absent; secured=Fixed; unsecured=Slid in"), yes="✓", no="✗")

SHAPES = {HALL_FILE: CANONICAL, CLINIC_FILE: CLINIC, HOUSE_FILE: HOUSE, WORKS_FILE: WORKS,
          LIGHTING_FILE: LIGHTING}

ABBREVIATIONS = [["Abbreviation", "Meaning"], ["AFF", "above finished floor"],
                 ["VWC", "vinyl wall covering"], ["SG Clip", "self-grounding clip"],
                 ["WP Bubble", "cover that stays weatherproof with the plug in"]]


def content(schedule):
    """The bytes of the file of a schedule."""
    lines = SHAPES[schedule.file].table(schedule.rows)
    return FORMATS[schedule.file](schedule, lines)


def hall_file(_, lines):
    return text_file(lines)


def house_file(_, lines):
    return text_file(lines, ";", "cp1252", "\r\n")


def clinic_file(schedule, lines):
    devices = sum(row.get("quantity", 1) for row in schedule.rows)
    above = [["Ondravell Clinic, all levels"], ["Receptacle schedule, revision 4"],
             ["All figures as measured on site; inches and feet as headed"], []]
    below = [["Total", Decimal(devices)], [],
             ["Prepared by T. Ekvarne, Fennordal Power; invented data"]]
    return xlsx([("Device Schedule", above + lines + below), ("Abbreviations", ABBREVIATIONS)])


def works_file(schedule, lines):
    sheets = []
    for floor in dict.fromkeys(row["floor"] for row in schedule.rows):
        own = [line for row, line in zip(schedule.rows, lines[1:]) if row["floor"] == floor]
        title = [f"Harbrisk Works, level {floor}: outlets as found (invented data)"]
        sheets.append((floor, [title, lines[0], *own]))
    return ods(sheets)


def lighting_file(schedule, _):
    sheets = []
    for building in dict.fromkeys(row["building"] for row in schedule.rows):
        own = [row for row in schedule.rows if row["building"] == building]
        title = [["Switching schedule", None, "Luxarrend Controls; invented data"], []]
        sheets.append((building, title + LIGHTING.table(own)))
    return xlsx(sheets)


FORMATS = {HALL_FILE: hall_file, HOUSE_FILE: house_file, CLINIC_FILE: clinic_file,
           WORKS_FILE: works_file, LIGHTING_FILE: lighting_file}
