"""How German, French and Spanish lists head their columns, and short marks of the place of a reading.

Common practice, no source.
"""

from __future__ import annotations

WIDTH = (
    "breite", "breite b", "lichte breite", "rahmenbreite", "fensterbreite", "breite oben", "breite mitte",
    "breite unten", "largeur", "larg", "largeur haut", "largeur milieu", "largeur bas", "ancho", "anchura",
    "ancho arriba", "ancho medio", "ancho abajo", "width t", "width m", "width b", "width center", "width centre",
)  # fmt: skip
HEIGHT = (
    "höhe", "hoehe", "lichte höhe", "rahmenhöhe", "fensterhöhe", "höhe links", "höhe mitte", "höhe rechts", "hauteur",
    "haut", "hauteur gauche", "hauteur milieu", "hauteur droite", "alto", "altura", "alto izquierda", "alto medio",
    "alto derecha", "height l", "height m", "height r", "height center", "height centre",
)  # fmt: skip
SIZE = ("maß", "masse", "maße", "abmessung", "abmessungen", "größe", "breite x höhe", "dimensions l x h", "medida",
        "medidas")  # fmt: skip
LABEL = ("nr", "pos", "position", "fenster nr", "fenster", "bezeichnung", "kennzeichen", "repère", "repere", "fenêtre",
         "marca", "ventana", "referencia", "nº", "n°", "lfd nr")  # fmt: skip
QUANTITY = ("stück", "stückzahl", "anzahl", "menge", "anz", "quantité", "quantite", "qté", "qte", "nombre", "cantidad",
            "cant", "uds", "unidades", "# screens", "# of screens", "screens required", "no of screens", "# windows",
            "# pcs")  # fmt: skip
FACADE = ("fassade", "hausseite", "façade", "fachada")
BUILDING = ("gebäude", "haus", "bâtiment", "edificio")
FLOOR = ("etage", "geschoss", "stockwerk", "étage", "niveau", "piso", "planta")
UNIT = ("wohnung", "whg", "appartement", "logement", "vivienda", "apartamento")
ROOM = ("raum", "zimmer", "pièce", "piece", "habitación", "cuarto")
COLOUR = ("farbe", "couleur")
MESH = ("gewebe", "gaze", "toile", "malla", "tela")
NOTE = ("bemerkung", "bemerkungen", "anmerkung", "hinweis", "remarque", "remarques", "observaciones", "notas")
