#include "widgets/figures/motion_export.h"

#include <QDir>
#include <QFile>
#include <QFileInfo>
#include <QRegularExpression>
#include <QTemporaryDir>
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <vector>

#include "widgets/background/in_parallel.h"
#include "widgets/figures/film_encoder.h"

namespace beatwitness::widgets {
namespace {

constexpr double shortest_s = 0.5, longest_s = 600.0;
constexpr std::size_t framesAtOnce = 4;  ///< for each thread, between two looks at the stop button

Fault wrong(const QString& message) {
    return {FaultCode::WrongUsage, message.toStdString(), {}, {}, {}};
}

Fault notWritten(const QString& file, const QString& why) {
    return {FaultCode::NotWritable,
            "the film could not be written (" + why.toStdString() + ")",
            file.toStdString(),
            {},
            {}};
}

QString numbered(const QFileInfo& out, std::size_t number) {
    return QStringLiteral("%1-%2.png").arg(out.completeBaseName()).arg(number + 1, 5, 10, QLatin1Char('0'));
}

/// A frame of an earlier, longer film under the same name: the two would run on into each other.
std::optional<QString> longerFilm(const QFileInfo& out, std::size_t frames) {
    const QRegularExpression pattern(
        QStringLiteral("^%1-([0-9]{5})\\.png$").arg(QRegularExpression::escape(out.completeBaseName())));
    for (const auto& name :
         out.dir().entryList({out.completeBaseName() + QStringLiteral("-*.png")}, QDir::Files))
        if (const auto match = pattern.match(name);
            match.hasMatch() && match.captured(1).toULongLong() > frames)
            return name;
    return std::nullopt;
}

/// `make` for every frame in its turn of batches, all of a batch at one time; `take` for each batch.
template <class Make, class Take>
Result<Done> inBatches(std::size_t frames, std::size_t batch, const RunControl& run, Make make, Take take) {
    for (std::size_t first = 0; first < frames; first += batch) {
        if (run.stopRequested()) return cancelled();
        const std::size_t count = std::min(batch, frames - first);
        if (!inParallel(count, [&](std::size_t i) { return make(first + i, i); }))
            return notWritten({}, QStringLiteral("the disk may be full"));
        if (auto taken = take(count); !taken) return taken;
        run.progress(static_cast<double>(first + count) / static_cast<double>(frames));
    }
    return Done{};
}

/// A folder beside `out`, so that what is in it moves by renaming.
QString besides(const QFileInfo& out) {
    return out.absolutePath() + QStringLiteral("/.beatwitness-film-XXXXXX");
}

bool movedOver(const QString& from, const QString& to) {
    return std::rename(QFile::encodeName(from).constData(), QFile::encodeName(to).constData()) == 0;
}

Result<std::size_t> writePictures(const Film& film, const QFileInfo& out, const RunControl& run) {
    const std::size_t frames = frameCount(film.options);
    if (const auto other = longerFilm(out, frames))
        return Fault{FaultCode::NotWritable,
                     "the folder holds " + other->toStdString() +
                         " of a longer film; expected another name or a folder without it",
                     out.absolutePath().toStdString(),
                     {},
                     {}};
    QTemporaryDir made(besides(out));
    if (!made.isValid()) return notWritten(out.absolutePath(), made.errorString());
    const auto drawn = inBatches(
        frames, parallelSteps() * framesAtOnce, run,
        [&](std::size_t number, std::size_t) {
            return filmFrame(film, number).save(made.filePath(numbered(out, number)), "PNG", 90);
        },
        [](std::size_t) { return Result<Done>{Done{}}; });
    if (!drawn) return drawn.fault();
    for (std::size_t i = 0; i < frames; ++i) {
        const QString name = numbered(out, i);
        if (!movedOver(made.filePath(name), out.dir().filePath(name)))
            return notWritten(out.dir().filePath(name), QStringLiteral("it could not be put in its place"));
    }
    return frames;
}

Result<std::size_t> writeEncoded(const Film& film, MotionFormat format, const QFileInfo& out,
                                 const RunControl& run) {
    const std::size_t frames = frameCount(film.options);
    QTemporaryDir made(besides(out));
    if (!made.isValid()) return notWritten(out.absolutePath(), made.errorString());
    const QString part = made.filePath(QStringLiteral("film.") + out.suffix().toLower());
    FilmEncoder encoder;
    if (const auto started = encoder.start(film, format, part); !started) return started.fault();
    std::vector<QImage> images(parallelSteps());
    const auto encoded = inBatches(
        frames, images.size(), run,
        [&](std::size_t number, std::size_t slot) {
            images[slot] = filmFrame(film, number);
            return true;
        },
        [&](std::size_t count) {
            Result<Done> added = Done{};
            for (std::size_t i = 0; added && i < count; ++i)
                added = encoder.add(images[i]);
            return added;
        });
    if (!encoded) return encoded.fault();
    if (const auto finished = encoder.finish(run); !finished) return finished.fault();
    if (!movedOver(part, out.absoluteFilePath()))
        return notWritten(out.absoluteFilePath(), QStringLiteral("it could not be put in its place"));
    return frames;
}

}  // namespace

Result<FrameRate> frameRate(const QString& text) {
    struct Named {
        const char* text;
        FrameRate rate;
    };
    static constexpr std::array rates{Named{"24", {24, 1}},          Named{"25", {25, 1}},
                                      Named{"30", {30, 1}},          Named{"50", {50, 1}},
                                      Named{"60", {60, 1}},          Named{"23.976", {24000, 1001}},
                                      Named{"29.97", {30000, 1001}}, Named{"59.94", {60000, 1001}}};
    for (const auto& named : rates)
        if (text == QLatin1String(named.text)) return named.rate;
    return wrong(QStringLiteral("the frame rate \"%1\" is not known; expected 24, 25, 30, 50, 60, 23.976, "
                                "29.97 or 59.94")
                     .arg(text));
}

Result<MotionFormat> motionFormat(const QString& path) {
    const QString ending = QFileInfo(path).suffix().toLower();
    if (ending == QLatin1String("png")) return MotionFormat::Pictures;
    if (ending == QLatin1String("mp4")) return MotionFormat::H264;
    if (ending == QLatin1String("mov")) return MotionFormat::ProRes;
    if (ending == QLatin1String("webm")) return MotionFormat::Vp9;
    return Fault{FaultCode::WrongUsage,
                 "the film's file name has no ending that is known; expected .png (numbered pictures), .mp4 "
                 "(H.264), .mov (ProRes 4444) or .webm (VP9)",
                 path.toStdString(),
                 {},
                 {}};
}

double usualLength_s(const report::MotionSource& source) {
    return std::clamp(std::round((source.end_s - source.begin_s) / 60.0), 5.0, 60.0);
}

std::size_t frameCount(const MotionOptions& options) {
    return static_cast<std::size_t>(std::max(2L, std::lround(options.length_s * options.rate.perSecond())));
}

Result<Done> canWriteFilm(const Film& film, MotionFormat format) {
    if (!(film.options.length_s >= shortest_s && film.options.length_s <= longest_s))
        return wrong(
            QStringLiteral("the film would last %1 s; expected 0.5 to 600 s").arg(film.options.length_s));
    if (format == MotionFormat::Pictures) return Done{};
    if (encoderProgram().isEmpty())
        return Fault{
            FaultCode::NotWritable,
            "a film in one file needs the ffmpeg program, which is not installed; install it, or take "
            ".png for numbered pictures",
            {},
            {},
            {}};
    const QSize pixels = film.size.pixels();
    if (format != MotionFormat::ProRes && (pixels.width() % 2 != 0 || pixels.height() % 2 != 0))
        return wrong(QStringLiteral("this format takes even widths and heights, not %1x%2")
                         .arg(pixels.width())
                         .arg(pixels.height()));
    if (format == MotionFormat::H264 && film.style.transparent)
        return wrong(QStringLiteral("H.264 holds no transparency; expected .mov, .webm or .png"));
    return Done{};
}

QImage filmFrame(const Film& film, std::size_t number) {
    const auto last = static_cast<double>(frameCount(film.options) - 1);
    const double share = std::min(1.0, static_cast<double>(number) / last);
    const double at_s = film.motion.begin_s + share * (film.motion.end_s - film.motion.begin_s);
    return sceneImage(report::sceneAt(film.scene, film.motion, film.options.style, at_s), film.size,
                      film.style);
}

Result<std::size_t> writeFilm(const Film& film, const QString& path, const RunControl& run) {
    const auto format = motionFormat(path);
    if (!format) return format.fault();
    if (const auto can = canWriteFilm(film, *format); !can) return can.fault();
    const QFileInfo out(path);
    return *format == MotionFormat::Pictures ? writePictures(film, out, run)
                                             : writeEncoded(film, *format, out, run);
}

}  // namespace beatwitness::widgets
