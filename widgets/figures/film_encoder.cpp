#include "widgets/figures/film_encoder.h"

#include <QStandardPaths>

namespace beatwitness::widgets {
namespace {

constexpr int startWait_ms = 10'000;
constexpr int stallWait_ms = 120'000;  ///< without a frame taken, the program is held to have failed
constexpr int stopStep_ms = 50;
constexpr qint64 mostWaiting = 64 * 1024 * 1024;  ///< bytes of frames that wait for the program

QStringList codecWords(MotionFormat format) {
    switch (format) {
        case MotionFormat::ProRes:
            return {QStringLiteral("-c:v"), QStringLiteral("prores_ks"), QStringLiteral("-profile:v"),
                    QStringLiteral("4444"), QStringLiteral("-pix_fmt"),  QStringLiteral("yuva444p10le")};
        case MotionFormat::Vp9:
            return {QStringLiteral("-c:v"),     QStringLiteral("libvpx-vp9"), QStringLiteral("-pix_fmt"),
                    QStringLiteral("yuva420p"), QStringLiteral("-crf"),       QStringLiteral("20"),
                    QStringLiteral("-b:v"),     QStringLiteral("0"),          QStringLiteral("-deadline"),
                    QStringLiteral("good"),     QStringLiteral("-cpu-used"),  QStringLiteral("5"),
                    QStringLiteral("-row-mt"),  QStringLiteral("1"),          QStringLiteral("-auto-alt-ref"),
                    QStringLiteral("0")};
        default:
            return {QStringLiteral("-c:v"),      QStringLiteral("libx264"), QStringLiteral("-pix_fmt"),
                    QStringLiteral("yuv420p"),   QStringLiteral("-crf"),    QStringLiteral("16"),
                    QStringLiteral("-preset"),   QStringLiteral("fast"),    QStringLiteral("-movflags"),
                    QStringLiteral("+faststart")};
    }
}

/// Raw frames in, BT.709 out: the tags of high-definition video.
QStringList wordsOf(const Film& film, MotionFormat format, const QString& file) {
    const QSize pixels = film.size.pixels();
    const auto rate =
        QStringLiteral("%1/%2").arg(film.options.rate.numerator).arg(film.options.rate.denominator);
    QStringList words{
        QStringLiteral("-hide_banner"),
        QStringLiteral("-loglevel"),
        QStringLiteral("error"),
        QStringLiteral("-y"),
        QStringLiteral("-f"),
        QStringLiteral("rawvideo"),
        QStringLiteral("-pix_fmt"),
        QStringLiteral("rgba"),
        QStringLiteral("-s"),
        QStringLiteral("%1x%2").arg(pixels.width()).arg(pixels.height()),
        QStringLiteral("-r"),
        rate,
        QStringLiteral("-i"),
        QStringLiteral("-"),
        QStringLiteral("-an"),
        QStringLiteral("-vf"),
        QStringLiteral("scale=out_color_matrix=bt709:out_range=tv,setparams=colorspace=bt709:color_primaries="
                       "bt709:color_trc=bt709:range=tv")};
    words += codecWords(format);
    for (const auto* tag : {"-colorspace", "-color_primaries", "-color_trc"})
        words << QLatin1String(tag) << QStringLiteral("bt709");
    words << QStringLiteral("-color_range") << QStringLiteral("tv");
    words << QStringLiteral("-metadata")
          << QStringLiteral("title=") + QString::fromStdString(film.scene.title)
          << QStringLiteral("-metadata")
          << QStringLiteral("comment=") + film.provenance.program + QLatin1Char(' ') +
                 film.provenance.definition;
    return words << file;
}

}  // namespace

QString encoderProgram() {
    return QStandardPaths::findExecutable(QStringLiteral("ffmpeg"));
}

Result<Done> FilmEncoder::start(const Film& film, MotionFormat format, const QString& file) {
    process_.setStandardOutputFile(QProcess::nullDevice());
    process_.start(encoderProgram(), wordsOf(film, format, file));
    if (process_.waitForStarted(startWait_ms)) return Done{};
    return failure();
}

Result<Done> FilmEncoder::add(const QImage& frame) {
    const QImage pixels = frame.convertToFormat(QImage::Format_RGBA8888);
    for (int y = 0; y < pixels.height(); ++y)
        process_.write(reinterpret_cast<const char*>(pixels.constScanLine(y)), qint64{4} * pixels.width());
    while (process_.bytesToWrite() > mostWaiting)
        if (!process_.waitForBytesWritten(stallWait_ms)) return failure();
    if (process_.state() != QProcess::Running) return failure();
    return Done{};
}

Result<Done> FilmEncoder::finish(const RunControl& run) {
    while (process_.bytesToWrite() > 0) {
        if (run.stopRequested()) return cancelled();
        if (!process_.waitForBytesWritten(stallWait_ms)) return failure();
    }
    process_.closeWriteChannel();
    while (process_.state() != QProcess::NotRunning && !process_.waitForFinished(stopStep_ms))
        if (run.stopRequested()) return cancelled();
    if (process_.exitStatus() != QProcess::NormalExit || process_.exitCode() != 0) return failure();
    return Done{};
}

Fault FilmEncoder::failure() {
    process_.waitForFinished(stopStep_ms);
    const QString said =
        QString::fromLocal8Bit(process_.readAllStandardError()).trimmed().section(u'\n', 0, 0);
    return {FaultCode::NotWritable,
            "the ffmpeg program could not make the film (" +
                (said.isEmpty() ? process_.errorString() : said).toStdString() + ")",
            {},
            {},
            {}};
}

FilmEncoder::~FilmEncoder() {
    if (process_.state() == QProcess::NotRunning) return;
    process_.kill();
    process_.waitForFinished();
}

}  // namespace beatwitness::widgets
