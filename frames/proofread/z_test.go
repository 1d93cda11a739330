package proofread
import ("testing";"time";"fmt";"breakbook/frames/reading";"strings")
func TestZ(t *testing.T){
 var b strings.Builder; b.WriteString("specimen,load (N),density,joint,day\n")
 for i:=range 300000 { fmt.Fprintf(&b,"A%d,%d.%d,%d,%s,%d\n",i,400+i%977,i%10,500+i%331,[]string{"dowel","lap","mortise"}[i%3],i%5) }
 f,_,err:=reading.Read(t.Context(),"x.csv",[]byte(b.String()),reading.Overrides{}); if err!=nil{t.Fatal(err)}
 tb:=newTable(t.Context(),f,true)
 for i,look:=range []func(*table) []Remark{sums, values, doubles, names, spellings, almostNumbers, loneLevels, dates, oneValue}{ s:=time.Now(); look(tb); fmt.Println(i,time.Since(s)) }
}
