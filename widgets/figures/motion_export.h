#pragma once

#include <QString>
#include <cstddef>

#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/report/figures/motion.h"
#include "widgets/figures/figure_export.h"

namespace beatwitness::widgets {

/// Frames a second as a fraction, since television's rates are not whole.
struct FrameRate {
    int numerator = 30, denominator = 1;
    [[nodiscard]] double perSecond() const { return static_cast<double>(numerator) / denominator; }
};
/// "24", "25", "30", "50", "60" and "23.976", "29.97", "59.94" (n / 1.001). Faults: WrongUsage.
[[nodiscard]] Result<FrameRate> frameRate(const QString& text);

enum class MotionFormat {
    Pictures,  ///< .png: numbered PNGs
    H264,      ///< .mp4
    ProRes,    ///< .mov: ProRes 4444, with alpha
    Vp9        ///< .webm: with alpha
};
/// By the ending of `path`. Faults: WrongUsage.
[[nodiscard]] Result<MotionFormat> motionFormat(const QString& path);

struct MotionOptions {
    FrameRate rate;
    double length_s = 10.0;  ///< of the film; 0.5 to 600
    report::MotionStyle style = report::MotionStyle::Grow;
};

/// A minute of session time in a second of film, between 5 and 60 s.
[[nodiscard]] double usualLength_s(const report::MotionSource& source);
[[nodiscard]] std::size_t frameCount(const MotionOptions& options);

/// A figure that moves, and how it comes out.
struct Film {
    report::Scene scene;
    report::MotionSource motion;
    FigureSize size;
    ExportStyle style;
    Provenance provenance;
    MotionOptions options;
};

/// What is wrong with writing `film` in this format, before time is spent on it: odd sizes and transparency
/// in H.264, no ffmpeg on the path, a length out of range. Faults: WrongUsage, NotWritable (no ffmpeg).
[[nodiscard]] Result<Done> canWriteFilm(const Film& film, MotionFormat format);

/// Frame `number` of the film, from 0.
[[nodiscard]] QImage filmFrame(const Film& film, std::size_t number);

/// Writes the film; for PNGs `path` "a/trace.png" gives "a/trace-00001.png" and so on. Everything is made
/// beside its place and moved there when it is whole: stopped or failed, nothing of it stays, and what stood
/// there before still stands. For a worker thread; frames are drawn on all cores. Returns the number of
/// frames. Faults: those of canWriteFilm(), NotWritable, Cancelled.
[[nodiscard]] Result<std::size_t> writeFilm(const Film& film, const QString& path, const RunControl& run);

}  // namespace beatwitness::widgets
