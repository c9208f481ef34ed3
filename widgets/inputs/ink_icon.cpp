#include "widgets/inputs/ink_icon.h"

#include <QFile>
#include <QIconEngine>
#include <QPainter>
#include <QSvgRenderer>

#include "widgets/theme/theme.h"

/// Resources of a static library are registered by hand; the macro must stand outside any namespace.
static void registerIcons() {
    Q_INIT_RESOURCE(beatwitness);
}

namespace beatwitness::widgets {
namespace {

/// Draws a black line drawing in the colour of text.
class InkIconEngine : public QIconEngine {
public:
    explicit InkIconEngine(QByteArray drawing) : drawing_(std::move(drawing)) {}

    void paint(QPainter* painter, const QRect& rect, QIcon::Mode mode, QIcon::State) override {
        QColor ink = mode == QIcon::Disabled ? currentPalette().quietInk : currentPalette().ink;
        QByteArray drawing = drawing_;
        QSvgRenderer(drawing.replace("#000000", ink.name().toLatin1())).render(painter, rect);
    }

    QPixmap pixmap(const QSize& size, QIcon::Mode mode, QIcon::State state) override {
        QPixmap picture(size);
        picture.fill(Qt::transparent);
        QPainter painter(&picture);
        paint(&painter, QRect(QPoint(), size), mode, state);
        return picture;
    }

    [[nodiscard]] QIconEngine* clone() const override { return new InkIconEngine(drawing_); }

private:
    QByteArray drawing_;
};

QString pathOf(const QString& name) {
    registerIcons();
    return QStringLiteral(":/icons/%1.svg").arg(name);
}

}  // namespace

QIcon inkIcon(const QString& name) {
    QFile file(pathOf(name));
    if (!file.open(QIODevice::ReadOnly)) return {};
    return QIcon(new InkIconEngine(file.readAll()));
}

QIcon applicationIcon() {
    return QIcon(pathOf(QStringLiteral("beatwitness")));
}

}  // namespace beatwitness::widgets
