"""The stations of the feed path, from spool to arc, then the circuits."""

STATIONS: dict[str, str] = {
    "wire": "wire",
    "spool": "spool and hub",
    "inlet-guide": "inlet guide",
    "drive": "drive",
    "drive-rolls": "drive rolls",
    "outlet-guide": "outlet guide",
    "liner": "liner",
    "torch-lead": "torch lead",
    "neck": "neck and gas diffuser",
    "contact-tip": "contact tip",
    "nozzle": "nozzle",
    "trigger": "trigger and control leads",
    "welding-circuit": "welding circuit",
    "settings": "settings",
}
