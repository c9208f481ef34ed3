#include "tests/app/window_fixture.h"

#include <QApplication>
#include <QDateTime>
#include <QDragEnterEvent>
#include <QFile>
#include <QMimeData>
#include <QTableView>
#include <QTest>
#include <QUrl>

namespace beatwitness::tests {

WindowTest::WindowTest()
    : settings_(folder_.filePath("settings.ini"), QSettings::IniFormat),
      window_(std::make_unique<app::MainWindow>(settings_)) {
    window_->resize(1366, 768);
    window_->show();
}

QString WindowTest::textFile(const QString& name, const QByteArray& content) {
    QFile file(folder_.filePath(name));
    EXPECT_TRUE(file.open(QIODevice::WriteOnly));
    file.write(content);
    return file.fileName();
}

QString WindowTest::recordingFile(const QString& name, int seconds, const std::function<double(int)>& rate,
                                  int late_s) {
    const QDateTime start(QDate(2031, 3, 2), QTime(9, 0), Qt::UTC);
    QByteArray content = "time,hr\n";
    for (int i = 0; i < seconds; ++i)
        content += start.addSecs(i + late_s).toString(Qt::ISODate).toLatin1() + ',' +
                   QByteArray::number(rate(i)) + '\n';
    return textFile(name, content);
}

void WindowTest::drop(const QStringList& paths) {
    QMimeData data;
    QList<QUrl> urls;
    for (const auto& path : paths)
        urls << QUrl::fromLocalFile(path);
    data.setUrls(urls);
    QDragEnterEvent enter(QPoint(200, 200), Qt::CopyAction, &data, Qt::LeftButton, Qt::NoModifier);
    QApplication::sendEvent(window_.get(), &enter);
    QDropEvent letGo(QPointF(200, 200), Qt::CopyAction, &data, Qt::LeftButton, Qt::NoModifier);
    QApplication::sendEvent(window_.get(), &letGo);
}

bool WindowTest::waitFor(const std::function<bool()>& condition) {
    return QTest::qWaitFor(condition, 15000);
}

void WindowTest::openFlatPair() {
    drop({recordingFile("strap.csv", 400, [](int) { return 120.0; }),
          recordingFile("band.csv", 400, [](int) { return 117.0; })});
    ASSERT_TRUE(waitFor([&] { return window_->document().hasSession(); }));
}

void WindowTest::openLatePair() {
    const auto ramp = [](int second) { return 80.0 + second; };
    drop({recordingFile("strap.csv", 100, ramp), recordingFile("band.csv", 100, ramp, 5)});
    ASSERT_TRUE(waitFor([&] { return window_->document().hasSession(); }));
}

QString WindowTest::cell(const QString& row, int column) const {
    const auto* model = window_->findChild<QTableView*>("agreementTable")->model();
    for (int i = 0; i < model->rowCount(); ++i)
        if (model->headerData(i, Qt::Vertical, Qt::DisplayRole).toString() == row)
            return model->index(i, column).data().toString();
    return {};
}

}  // namespace beatwitness::tests
