# Bones and pressure of every design in this folder, side by side: in ParaView open this file with File > Load State, or run
# `pvpython show_fields.py PICTURE.png` for a picture without a window.
import glob
import os
import sys

import numpy
from paraview import servermanager, vtk
from paraview.simple import *
from paraview.vtk.util.numpy_support import vtk_to_numpy

bend, stress, pressure = 'displacement_mm', 'stress_along_ray_MPa', 'contact_pressure_cell_mean_kPa'
wide, long = 120, 130  # mm from design to design, and from the bones to the skin below them
view = GetActiveViewOrCreate('RenderView')
view.OrientationAxesVisibility = 0
view.UseColorPaletteForBackground = 0
view.Background = [1, 1, 1]
view.ViewSize = [1600, 900]
ends = {stress: [], pressure: []}

paths = sorted(glob.glob(os.path.join(os.path.dirname(os.path.abspath(__file__)), '*_0.pvtu')))
for place, path in enumerate(paths):
    name = os.path.basename(path)[:-len('_0.pvtu')]
    fields = XMLPartitionedUnstructuredGridReader(registrationName=name, FileName=[path])
    loaded = WarpByVector(registrationName=name + ' under load', Input=fields, Vectors=['POINTS', bend])
    # material: 1 to 5 are the rays' cortical bone, 6 to 10 their spongy bone
    for part, array, low, high, colour, down in (('bones', 'material', 0.5, 10.5, stress, 0), ('skin', pressure, 1, 1e9, pressure, long)):
        cells = IsoVolume(Input=loaded, InputScalars=['POINTS', array], ThresholdRange=[low, high])
        moved = Transform(registrationName=name + ' ' + part, Input=cells)
        moved.Transform.Translate = [-down, -wide * place, 0]
        Hide3DWidgets(proxy=moved.Transform)
        values = servermanager.Fetch(moved).GetPointData().GetArray(colour)
        if values:
            ends[colour].append(numpy.percentile(numpy.abs(vtk_to_numpy(values)), 99.5))
        shown = Show(moved, view)
        ColorBy(shown, ('POINTS', colour))
    words = a3DText(Text=name)
    title = Transform(registrationName=name + ' name', Input=words)
    title.Transform.Translate = [25, 40 - wide * place, 30]
    title.Transform.Rotate = [0, 0, -90]
    title.Transform.Scale = [7, 7, 7]
    Hide3DWidgets(proxy=title.Transform)
    shown = Show(title, view)
    shown.DiffuseColor = [0, 0, 0]
    shown.AmbientColor = [0, 0, 0]

for array, preset, low, words, height in ((stress, 'Cool to Warm', -1, 'stress along the ray, MPa', 0.56),
                                          (pressure, 'Viridis (matplotlib)', 0, 'pressure on the skin, kPa', 0.08)):
    end = max(ends[array] or [1])
    colours = GetColorTransferFunction(array)
    colours.ApplyPreset(preset, True)
    colours.RescaleTransferFunction(low * end, end)
    bar = GetScalarBar(colours, view)
    bar.Title, bar.ComponentTitle, bar.Visibility = words, '', 1
    bar.WindowLocation, bar.Position, bar.ScalarBarLength = 'Any Location', [0.9, height], 0.36
    bar.AutomaticLabelFormat, bar.LabelFormat, bar.RangeLabelFormat = 0, '%.0f', '%.0f'
    bar.TitleColor = bar.LabelColor = [0, 0, 0]
Render(view)  # the first time it places the camera itself
middle = [-0.8 * long, -wide * (len(paths) / 2 - 0.4), 0]
view.CameraViewUp = [1, 0, 0]  # toes up, seen from above
view.CameraFocalPoint, view.CameraPosition = middle, [middle[0], middle[1], 1000]
view.CameraParallelProjection, view.CameraParallelScale = 1, max(160, 0.31 * wide * (len(paths) + 0.8))
Render(view)
if len(sys.argv) > 1 and __name__ == '__main__':
    SaveScreenshot(sys.argv[1], view)
