"""Paints the photographs of the demo garden into content/photos: nobody's pictures, drawn by this script alone.

pip install numpy==2.4.6 pillow==13.0.0 && python tests/pictures/demo_photos.py
They are free to use for anything (CC0 1.0). Each scene is seeded, so that the same script gives the same files.
"""

import math
import pathlib

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

OUT = pathlib.Path(__file__).resolve().parents[2] / "content" / "photos"
SIZE = (1800, 1350)

SKY = {"morning": ((246, 226, 196), (198, 214, 222)), "noon": ((150, 188, 222), (222, 234, 240)),
       "evening": ((236, 178, 126), (250, 226, 190)), "grey": ((176, 184, 188), (214, 218, 216))}


def gradient(top, bottom, width, height):
    ramp = np.linspace(0, 1, height)[:, None, None]
    return np.broadcast_to((1 - ramp) * np.array(top) + ramp * np.array(bottom), (height, width, 3)).copy()


def noise(chance, width, height, scale):
    small = chance.random((height // scale + 2, width // scale + 2)) * 255
    image = Image.fromarray(small.astype("uint8")).resize((width, height), Image.Resampling.BICUBIC)
    return np.asarray(image, dtype=float) / 255 - 0.5


class Scene:
    """A picture that is painted from the back to the front."""

    def __init__(self, seed, light):
        self.chance = np.random.default_rng(seed)
        width, height = SIZE
        pixels = gradient(*SKY[light], width, height)
        pixels += noise(self.chance, width, height, 240)[:, :, None] * 22
        self.image = Image.fromarray(pixels.clip(0, 255).astype("uint8")).filter(ImageFilter.GaussianBlur(14))

    def blurred(self, radius):
        self.image = self.image.filter(ImageFilter.GaussianBlur(radius))
        return self

    def ground(self, top, colour, rough=60):
        width, height = SIZE[0], SIZE[1] - top
        pixels = gradient(tuple(c * 1.12 for c in colour), tuple(c * 0.7 for c in colour), width, height)
        for scale in (90, 30, 9):
            pixels += noise(self.chance, width, height, scale)[:, :, None] * rough
        self.image.paste(Image.fromarray(pixels.clip(0, 255).astype("uint8")), (0, top))
        return self

    def near(self, colour, amount=24):
        shift = int(self.chance.integers(-amount, amount + 1))
        return tuple(int(min(255, max(0, c + shift + self.chance.integers(-8, 9)))) for c in colour)

    def leaf(self, x, y, length, angle, colour, width=0.42):
        draw = ImageDraw.Draw(self.image)
        along, across = [], []
        for step in range(13):
            t = step / 12
            half = length * width / 2 * math.sin(math.pi * t ** 0.8)
            cx, cy = x + math.cos(angle) * length * t, y + math.sin(angle) * length * t + 0.18 * length * t * t
            along.append((cx - math.sin(angle) * half, cy + math.cos(angle) * half))
            across.append((cx + math.sin(angle) * half, cy - math.cos(angle) * half))
        fill = self.near(colour)
        draw.polygon(along + across[::-1], fill=fill)
        middle = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in zip(along, across)]
        draw.line(middle, fill=tuple(min(255, c + 34) for c in fill), width=max(2, int(length / 60)))
        draw.polygon(along + middle[::-1], fill=tuple(int(c * 0.86) for c in fill))

    def plant(self, x, y, height, colour, leaves=26, width=0.42, size=0.34):
        draw = ImageDraw.Draw(self.image)
        sway = self.chance.uniform(-0.06, 0.06) * height
        draw.line([(x, y), (x + sway, y - height)], fill=self.near((92, 118, 62)), width=max(5, height // 40))
        for number in range(leaves):
            t = (number + 1) / leaves
            angle = self.chance.uniform(-0.5, 0.5) + (math.pi if number % 2 else 0) - 0.35 * (1 if number % 2 == 0 else -1)
            length = height * size * (1.25 - 0.7 * t) * self.chance.uniform(0.8, 1.15)
            self.leaf(x + sway * t, y - height * t, length, angle, colour, width)
        return self

    def fruit(self, x, y, wide, tall, colour, tilt=0.0):
        box = (int(wide * 2.4), int(tall * 2.4))
        layer = Image.new("RGBA", box, (0, 0, 0, 0))
        draw = ImageDraw.Draw(layer)
        cx, cy = box[0] / 2, box[1] / 2
        for step in range(24, 0, -1):
            t = step / 24
            shade = tuple(int(c * (0.62 + 0.5 * (1 - t))) for c in colour)
            off = (1 - t) * -0.14
            draw.ellipse((cx - wide * t / 2 + wide * off, cy - tall * t / 2 + tall * off, cx + wide * t / 2 + wide * off,
                          cy + tall * t / 2 + tall * off), fill=tuple(min(255, c) for c in shade) + (255,))
        draw.ellipse((cx - wide * 0.26, cy - tall * 0.32, cx - wide * 0.1, cy - tall * 0.2), fill=(255, 255, 255, 120))
        layer = layer.rotate(math.degrees(tilt), resample=Image.Resampling.BICUBIC).filter(ImageFilter.GaussianBlur(0.8))
        self.image.paste(layer, (int(x - box[0] / 2), int(y - box[1] / 2)), layer)
        return self

    def pot(self, x, y, wide, tall, colour=(178, 96, 62)):
        draw = ImageDraw.Draw(self.image)
        for row in range(tall):
            t = row / tall
            half = wide / 2 * (1 - 0.2 * t)
            for strip in range(24):
                a, b = -1 + strip / 12, -1 + (strip + 1) / 12
                light = 0.62 + 0.5 * math.sqrt(max(0, 1 - (a + 0.35) ** 2 / 1.9))
                draw.line([(x + a * half, y + row), (x + b * half, y + row)], fill=tuple(min(255, int(c * light)) for c in colour))
        draw.rectangle((x - wide * 0.53, y - tall * 0.06, x + wide * 0.53, y + tall * 0.09), fill=tuple(int(c * 0.92) for c in colour))
        draw.ellipse((x - wide * 0.48, y - tall * 0.1, x + wide * 0.48, y + tall * 0.02), fill=(58, 44, 34))
        return self

    def board(self, y, tall, colour=(150, 116, 82)):
        draw = ImageDraw.Draw(self.image)
        for row in range(tall):
            light = 1.05 - 0.4 * row / tall + self.chance.uniform(-0.03, 0.03)
            draw.line([(0, y + row), (SIZE[0], y + row)], fill=tuple(min(255, int(c * light)) for c in colour))
        return self

    def save(self, name):
        pixels = np.asarray(self.image, dtype=float)
        pixels += self.chance.normal(0, 3.2, pixels.shape)
        y, x = np.mgrid[0:SIZE[1], 0:SIZE[0]]
        far = np.hypot((x / SIZE[0] - 0.5) * 1.2, y / SIZE[1] - 0.5)
        pixels *= (1.06 - 0.34 * far ** 2)[:, :, None]
        image = Image.fromarray(pixels.clip(0, 255).astype("uint8")).filter(ImageFilter.GaussianBlur(0.7))
        OUT.mkdir(parents=True, exist_ok=True)
        image.save(OUT / name, quality=74, optimize=True)


GREEN, DARK, PALE, GREY = (86, 132, 58), (54, 96, 48), (146, 176, 92), (112, 138, 116)


def behind(scene, colour=DARK, number=26, low=760):
    for _ in range(number):
        scene.plant(int(scene.chance.integers(-60, SIZE[0] + 60)), low, int(scene.chance.integers(260, 620)), colour, 16)
    return scene.blurred(13)


def shelf(seed, name, colour, light="grey", tall=210):
    scene = Scene(seed, light).board(930, 420)
    for row, y in enumerate((880, 1010, 1160)):
        for place in range(7):
            x = 150 + place * 250 + int(scene.chance.integers(-26, 26)) + row * 18
            scene.pot(x, y, 150 + row * 24, 120 + row * 22, (64, 66, 68))
            scene.plant(x, y, int(tall * (0.8 + row * 0.25) * scene.chance.uniform(0.8, 1.15)), colour, 8, 0.5, 0.5)
        if row < 2:
            scene.blurred(2.2)
    scene.save(name)


def tub(seed, name, colour, fruits, light="noon", shape=(92, 92), number=9, height=760):
    scene = behind(Scene(seed, light)).ground(1040, (168, 158, 146), 26)
    for x in (430, 960, 1450):
        scene.pot(x, 1010, 330, 280)
        scene.plant(x, 1000, int(height * scene.chance.uniform(0.86, 1.1)), colour, 34)
        for _ in range(number):
            fx, fy = x + int(scene.chance.integers(-190, 190)), int(scene.chance.integers(1020 - int(height * 0.85), 930))
            hue = fruits[int(scene.chance.integers(0, len(fruits)))]
            scene.fruit(fx, fy, *shape, scene.near(hue, 10), scene.chance.uniform(-0.4, 0.4))
    scene.save(name)


def bed(seed, name, rows, light="noon", soil=(104, 82, 62)):
    scene = behind(Scene(seed, light), low=620, number=20).ground(560, soil)
    for y, scale, colour, gap, width in rows:
        for x in range(-20, SIZE[0] + 60, gap):
            scene.plant(x + int(scene.chance.integers(-14, 14)), y, int(scale * scene.chance.uniform(0.8, 1.2)), colour, 13, width, 0.5)
    scene.save(name)


def heap(seed, name, hues, shape, number, light="evening", cloth=(214, 200, 178)):
    scene = Scene(seed, light).ground(420, cloth, 16)
    places = sorted((int(scene.chance.normal(1000, 240)), int(scene.chance.normal(900, 350))) for _ in range(number))
    for y, x in sorted(places, key=lambda place: place[0]):
        hue = hues[int(scene.chance.integers(0, len(hues)))]
        shadow = Image.new("L", SIZE, 0)
        ImageDraw.Draw(shadow).ellipse((x - shape[0] * 0.55, y + shape[1] * 0.2, x + shape[0] * 0.6, y + shape[1] * 0.62), fill=90)
        scene.image.paste((70, 56, 44), mask=shadow.filter(ImageFilter.GaussianBlur(12)))
        scene.fruit(x, y, *shape, scene.near(hue, 14), scene.chance.uniform(-1.2, 1.2))
    scene.save(name)


RED, ORANGE, AMBER, CUCUMBER, POTATO, CREAM = (196, 46, 34), (226, 122, 40), (236, 178, 60), (84, 128, 54), (196, 160, 110), (236, 224, 204)

shelf(1, "chillies-on-the-shelf.jpg", GREEN)
shelf(2, "leeks-in-trays.jpg", PALE, "morning", 240)
tub(3, "tomatoes-in-roof-tubs.jpg", GREEN, [RED, RED, ORANGE, PALE])
tub(4, "amber-cluster.jpg", DARK, [AMBER, AMBER, PALE], "evening", (78, 78), 13)
tub(5, "cucumbers-on-the-roof.jpg", GREEN, [CUCUMBER, (104, 146, 66)], "noon", (58, 190), 6, 860)
bed(6, "long-bed-in-may.jpg", [(700, 110, PALE, 96, 0.5), (860, 170, GREEN, 140, 0.45), (1080, 230, GREY, 210, 0.6), (1330, 300, DARK, 260, 0.5)], "morning")
bed(7, "kale-after-frost.jpg", [(780, 240, GREY, 220, 0.7), (1060, 330, (96, 122, 108), 300, 0.75), (1350, 420, GREY, 380, 0.75)], "grey", (150, 148, 146))
bed(8, "garlic-in-march.jpg", [(680, 130, PALE, 110, 0.16), (860, 200, (120, 156, 96), 150, 0.14), (1120, 280, (112, 148, 92), 210, 0.13), (1340, 340, GREEN, 280, 0.13)], "morning")
heap(9, "first-potatoes.jpg", [POTATO, (206, 172, 122)], (170, 130), 26)
heap(10, "garlic-to-dry.jpg", [CREAM, (226, 208, 196)], (140, 130), 30, "noon", (164, 140, 112))
heap(11, "chillies-to-dry.jpg", [RED, (170, 30, 30), ORANGE], (60, 230), 34)
heap(12, "strawberries.jpg", [(206, 38, 42), (186, 28, 36)], (96, 116), 40, "morning", (226, 222, 214))
bed(13, "beans-up-the-wall.jpg", [(760, 430, GREEN, 150, 0.6), (1040, 520, DARK, 220, 0.62), (1350, 600, GREEN, 300, 0.6)], "evening")
