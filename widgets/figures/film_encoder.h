#pragma once

#include <QImage>
#include <QProcess>
#include <QString>

#include "core/foundation/result.h"
#include "widgets/figures/motion_export.h"

namespace beatwitness::widgets {

/// Where the ffmpeg program is; empty where it is not installed.
[[nodiscard]] QString encoderProgram();

/// Frames into one film file through the ffmpeg program, as raw pixels on its standard input. For one thread,
/// which needs no event loop. Destroyed before finish(), it stops the program; the file it was writing is the
/// caller's to remove.
class FilmEncoder {
public:
    /// `file` is written by the program; its ending says the container. Faults: NotWritable.
    [[nodiscard]] Result<Done> start(const Film& film, MotionFormat format, const QString& file);
    /// Frames of Film::size in order. Faults: NotWritable with what the program said.
    [[nodiscard]] Result<Done> add(const QImage& frame);
    /// Waits until the program has written everything. Faults: NotWritable.
    [[nodiscard]] Result<Done> finish(const RunControl& run);
    ~FilmEncoder();

private:
    [[nodiscard]] Fault failure();
    QProcess process_;
};

}  // namespace beatwitness::widgets
